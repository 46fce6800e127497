// Drives Chromium through visits given as JSON on standard input; answers as JSON, one each.
import fs from "node:fs";
import { createRequire } from "node:module";

const [packages, executablePath] = process.argv.slice(2);
const require = createRequire(`${packages}/package.json`);
const { chromium } = require("playwright-core");
const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const visits = JSON.parse(fs.readFileSync(0, "utf8"));
const args = ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--autoplay-policy=no-user-gesture-required"];
const browser = await chromium.launch({ executablePath, args });
const answers = [];
for (const visit of visits) {
  const context = await browser.newContext({
    viewport: { width: visit.width, height: visit.height },
    deviceScaleFactor: visit.sharpness,
    colorScheme: visit.scheme,
    javaScriptEnabled: visit.scripts,
  });
  if (visit.before) await context.addInitScript(visit.before);
  const page = await context.newPage();
  const answer = { said: [], asked: [], results: [] };
  page.on("console", (message) => answer.said.push(message.text()));
  page.on("dialog", (dialog) => { answer.said.push(`dialog: ${dialog.message()}`); dialog.dismiss(); });
  page.on("pageerror", (error) => answer.said.push(String(error)));
  page.on("request", (request) => answer.asked.push(request.url().slice(0, 200)));
  await page.goto(visit.url);
  for (const step of visit.steps) {
    if (step === "reload") await page.reload();
    else if (step.startsWith("press ")) await page.keyboard.press(step.slice(6));
    else if (step.startsWith("picture ")) await page.screenshot({ path: step.slice(8) });
    else if (step.startsWith("whole picture ")) await page.screenshot({ path: step.slice(14), fullPage: true });
    else if (step.startsWith("paper ")) await page.pdf({ path: step.slice(6), format: "A4", margin: { top: "14mm", bottom: "14mm", left: "14mm", right: "14mm" } });
    else if (step === "axe") {
      await page.evaluate(axe); // by the debugger, which the page's own policy doesn't bind
      // By tags, for axe-core leaves out the rules that came with WCAG 2.2 unless they are asked for.
      const values = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa", "best-practice"];
      const found = await page.evaluate((values) => axe.run(document, { runOnly: { type: "tag", values } }), values);
      answer.results.push(found.violations.map((one) => ({ id: one.id, where: one.nodes.map((node) => node.failureSummary + " " + node.html.slice(0, 200)) })));
    } else answer.results.push(await page.evaluate(step));
  }
  answers.push(answer);
  await context.close();
}
await browser.close();
process.stdout.write(JSON.stringify(answers));
