// Reads [{text, mode}] as JSON from standard input and answers what two WebVTT parsers make of
// each: {validator: {cues, errors}, player: {cues, errors}}, a cue being
// {id, start_ms, end_ms, text, line}, its text as a reader sees it.
"use strict";

const fs = require("node:fs");
const { createRequire } = require("node:module");
const path = require("node:path");

// vtt.js asks which browser it runs in; Node.js tells it only from version 21.
globalThis.navigator ??= { userAgent: "" };

const fromPackages = createRequire(path.join(process.argv[2], "package.json"));
const { WebVTTParser } = fromPackages("webvtt-parser");
const entities = fromPackages("webvtt-parser/html-entities.json");
const { WebVTT, VTTCue, VTTRegion } = fromPackages("vtt.js");

const toMs = (seconds) => Math.round(seconds * 1000);

function treeText(node) {
  return node.type === "text" ? node.value : (node.children || []).map(treeText).join("");
}

function byValidator(text, mode) {
  const { cues, errors } = new WebVTTParser(entities).parse(text, mode);
  return {
    cues: cues.map((cue) => ({
      id: cue.id,
      start_ms: toMs(cue.startTime),
      end_ms: toMs(cue.endTime),
      text: treeText(cue.tree),
      line: cue.linePosition,
    })),
    errors: errors.map((error) => `line ${error.line}: ${error.message}`),
  };
}

// As much of a browser's document as vtt.js asks for.
class Element {
  constructor(text = "") {
    this.text = text;
    this.children = [];
  }
  appendChild(child) {
    child.parentNode = this;
    this.children.push(child);
  }
  get textContent() {
    return this.text + this.children.map((child) => child.textContent).join("");
  }
}
const page = {
  VTTCue,
  VTTRegion,
  document: {
    createElement: () => new Element(),
    createTextNode: (text) => new Element(text),
    createProcessingInstruction: () => new Element(),
  },
};

function byPlayer(text) {
  const cues = [];
  const errors = [];
  const parser = new WebVTT.Parser(page, WebVTT.StringDecoder());
  parser.oncue = (cue) => cues.push(cue);
  parser.onparsingerror = (error) => errors.push(error.message);
  parser.parse(text.replace(/^\ufeff/, ""));
  parser.flush();
  return {
    cues: cues.map((cue) => ({
      id: cue.id,
      start_ms: toMs(cue.startTime),
      end_ms: toMs(cue.endTime),
      text: cue.text ? WebVTT.convertCueToDOMTree(page, cue.text).textContent : "",
      line: cue.line,
    })),
    errors,
  };
}

const files = JSON.parse(fs.readFileSync(0, "utf8"));
const answers = files.map(({ text, mode }) => ({
  validator: byValidator(text, mode),
  player: byPlayer(text),
}));
process.stdout.write(JSON.stringify(answers));
