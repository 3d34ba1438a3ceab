// Opens each report in headless Chromium, on a phone and at a desk, light and
// dark, and fails unless: every picture loads, the sizes are listed, nothing is
// said on the console, no request leaves the page, nothing is wider than the
// window, axe-core finds nothing serious, and the page prints.
//
//   node report.mjs REPORTS SCREENSHOTS
import { createRequire } from "node:module";
import { readdirSync, readFileSync, existsSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [, , reports, shots] = process.argv;
const require = createRequire(join(process.env.REPORT_MODULES, "x.js"));
const puppeteer = await import(pathToFileURL(require.resolve("puppeteer-core")));
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const views = [
  ["phone", { width: 390, height: 844, deviceScaleFactor: 1, isMobile: true }],
  ["desk", { width: 1280, height: 900, deviceScaleFactor: 1 }],
];
// What each report shows of sizes: how many, and which are marked.
const sizes = {
  "isolated.html": [10, "12 one below, 14 your size, 16 one above"],
  "whole.html": [10, ""],
  "layer.html": [0, ""],
  "lines.html": [10, "6 one below, 8 your size"],
};

const problems = [];
const browser = await puppeteer.launch({
  executablePath: ["/usr/bin/chromium"].find(existsSync),
  args: ["--no-sandbox", "--disable-dev-shm-usage"],
});
for (const name of readdirSync(reports).filter((f) => f.endsWith(".html"))) {
  for (const [view, viewport] of views) {
    for (const scheme of ["light", "dark"]) {
      await look(name, view, viewport, scheme);
    }
  }
}
await browser.close();
for (const p of problems) console.error(p);
if (problems.length === 0) console.log("reports: all well");
process.exit(problems.length ? 1 : 0);

async function look(name, view, viewport, scheme) {
  const bad = (text) => problems.push(`${name}, ${view}, ${scheme}: ${text}`);
  const page = await browser.newPage();
  await page.setViewport(viewport);
  await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: scheme }]);
  const own = pathToFileURL(resolve(reports, name)).href;
  page.on("console", (m) => bad(`console: ${m.text()}`));
  page.on("pageerror", (e) => bad(`error: ${e.message}`));
  page.on("request", (r) => {
    if (r.url() !== own && !r.url().startsWith("data:")) bad(`asks for ${r.url()}`);
  });
  await page.goto(own, { waitUntil: "load" });

  const seen = await page.evaluate(() => ({
    pictures: [...document.images].map((i) => (i.complete ? i.naturalWidth : 0)),
    sizes: document.querySelectorAll(".tape li").length,
    marked: [...document.querySelectorAll(".tape .wanted, .tape .near")].map((e) => e.innerText.replace(/\s+/g, " ").trim()).join(", "),
    wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    ground: getComputedStyle(document.body).backgroundColor,
  }));
  if (seen.pictures.length < 3 || seen.pictures.some((w) => w === 0)) bad(`pictures of width ${seen.pictures}`);
  const [count, marked] = sizes[name];
  if (seen.sizes !== count || seen.marked !== marked) bad(`${seen.sizes} sizes, marked: ${seen.marked}`);
  if (seen.wide > 0) bad(`${seen.wide} pixels wider than the window`);
  const [red] = seen.ground.match(/\d+/g).map(Number);
  if (red > 128 !== (scheme === "light")) bad(`the ground is ${seen.ground}`);

  await page.evaluate(axe);
  const found = await page.evaluate(() => axe.run());
  if (found.passes.length < 10) bad(`axe-core looked at ${found.passes.length} rules only`);
  for (const v of found.violations) {
    const what = `axe-core: ${v.impact}: ${v.id}: ${v.help} (${v.nodes[0].html.slice(0, 100)})`;
    if (v.impact === "serious" || v.impact === "critical") bad(what);
    else console.log(`${name}, ${view}: ${what}`);
  }
  await page.screenshot({ path: join(shots, `${name.replace(".html", "")}-${view}-${scheme}.png`), fullPage: true });
  if (view === "desk" && scheme === "light") {
    const pdf = await page.pdf({ format: "a4", path: join(shots, name.replace(".html", ".pdf")) });
    if (pdf.length < 10000) bad("it does not print");
  }
  await page.close();
}
