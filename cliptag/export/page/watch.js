
"use strict";
(() => {
  const all = (selector) => [...document.querySelectorAll(selector)];
  const video = document.querySelector("video");
  const still = matchMedia("(prefers-reduced-motion: reduce)");

  // Jumping: links lead to the video's time by themselves, so they work without this script too.
  const jump = (at) => {
    video.currentTime = at;
    video.play().catch(() => {});
    const place = video.getBoundingClientRect();
    if (place.bottom < 80 || place.top > innerHeight - 80) {
      video.scrollIntoView({ block: "start", behavior: still.matches ? "auto" : "smooth" });
    }
  };
  for (const link of all("a[data-at]")) {
    link.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      jump(Number(link.dataset.at));
    });
  }

  const mark = (links, isCurrent) => {
    for (const link of links) {
      if (isCurrent(link)) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    }
  };

  // Parts of the video, and what is being said. A browser may come to stand a hair before a cue.
  const parts = all(".parts a");
  const cues = all(".cue");
  const isOn = (link) => {
    const now = video.currentTime + 0.001;
    return now >= Number(link.dataset.at) && now < Number(link.dataset.end);
  };
  const show = () => {
    mark(parts, isOn);
    mark(cues, isOn);
    const said = cues.find(isOn);
    if (said) follow(said);
  };
  for (const name of ["timeupdate", "seeked", "loadedmetadata"]) video.addEventListener(name, show);

  // Captions are made from the transcript: browsers don't load a track file for a page that was
  // opened from a disk. Where they are in the picture already, the track only tells the moment.
  const areAsked = video.dataset.captions === "asked";
  const plain = (text) => text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;");
  if (cues.length && window.VTTCue && video.addTextTrack) {
    const kind = areAsked ? "captions" : "metadata";
    const track = video.addTextTrack(kind, video.dataset.label, video.dataset.lang);
    for (const said of cues) {
      const { at, end, place } = said.dataset;
      const cue = new VTTCue(Number(at), Number(end), plain(said.textContent.trim()));
      if (place === "top") cue.line = 0;
      track.addCue(cue);
    }
    track.mode = areAsked ? "showing" : "hidden";
    track.addEventListener("cuechange", show);
    const button = document.querySelector("button.captions");
    if (button && areAsked) {
      button.hidden = false;
      const press = () => button.setAttribute("aria-pressed", String(track.mode === "showing"));
      button.addEventListener("click", () => {
        track.mode = track.mode === "showing" ? "hidden" : "showing";
        press();
      });
      video.textTracks.addEventListener("change", press);
      press();
    }
  }
  const box = document.querySelector(".transcript");
  const follow = (said) => {
    // Only the transcript's own box moves, and not while a person reads or tabs through it.
    if (box.matches(":hover") || box.contains(document.activeElement)) return;
    const inner = said.getBoundingClientRect();
    const outer = box.getBoundingClientRect();
    if (inner.top < outer.top || inner.bottom > outer.bottom) {
      const top = box.scrollTop + inner.top - outer.top - outer.height / 3;
      box.scrollTo({ top, behavior: still.matches ? "auto" : "smooth" });
    }
  };
  show();

  // Exercises: the days on which each was done stay in this browser, under a name that tells nobody.
  const exercises = document.getElementById("exercises");
  if (!exercises) return;
  const name = `take-home-${document.body.dataset.key}`;
  const day = (back) => {
    const date = new Date();
    date.setDate(date.getDate() - back);
    const two = (number) => String(number).padStart(2, "0");
    return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
  };
  let isForgetting = false;
  const forgets = () => {
    if (isForgetting) return;
    isForgetting = true;
    const told = exercises.querySelector(".forgets");
    told.hidden = false;
    told.textContent = told.dataset.words;
    exercises.querySelector(".quiet.script").hidden = true;
  };
  const read = () => {
    try {
      const found = JSON.parse(localStorage.getItem(name));
      return found && typeof found === "object" && !Array.isArray(found) ? found : {};
    } catch (error) {
      if (!(error instanceof SyntaxError)) forgets();
      return {};
    }
  };
  let done = read();
  const daysOf = (task) => (Array.isArray(done[task]) ? done[task].filter((one) => typeof one === "string") : []);
  const showTicks = () => {
    for (const tick of all("input[data-task]")) {
      const days = new Set(daysOf(tick.dataset.task));
      tick.checked = days.has(day(0));
      const week = [6, 5, 4, 3, 2, 1, 0].map((back) => days.has(day(back)));
      const line = tick.closest(".task").querySelector(".days");
      line.hidden = false;
      line.textContent = exercises.dataset.days.replace("{days}", week.filter(Boolean).length);
      const dots = document.createElement("span");
      dots.className = "dots";
      dots.setAttribute("aria-hidden", "true");
      for (const is of week) {
        const dot = document.createElement("i");
        if (is) dot.className = "done";
        dots.append(dot);
      }
      line.append(dots);
    }
  };
  for (const tick of all("input[data-task]")) {
    tick.addEventListener("change", () => {
      if (!isForgetting) done = read(); // another tab may have written meanwhile
      const today = day(0);
      const days = daysOf(tick.dataset.task).filter((one) => one !== today);
      done[tick.dataset.task] = tick.checked ? [...days, today].slice(-400) : days;
      try {
        localStorage.setItem(name, JSON.stringify(done));
      } catch {
        forgets();
      }
      showTicks();
    });
  }
  showTicks();
  document.addEventListener("visibilitychange", () => document.hidden || showTicks());
})();
