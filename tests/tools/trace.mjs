// What a phone does while a thumb moves the speed slider of the reach screen: node tools/trace.mjs [--throttle 4] [--seconds 5]
// [--slider "Speed"] [--keep]. Called by `cargo xtask trace`.
//
// The processor is slowed down, the slider is dragged to and fro by touch, and Chromium's own trace says which frames
// reached the screen and how long the page's thread was busy in one go. It measures and judges nothing: it fails only where it
// could not measure.

import { mkdirSync, writeFileSync } from "node:fs";
import { setTimeout as sleep } from "node:timers/promises";
import { chromium } from "playwright-core";
import { args, executablePath, screens } from "../support/browser.mjs";
import { startSite } from "../support/server.mjs";

const options = { "--throttle": "4", "--seconds": "5", "--slider": "Speed" };
let keep = false;
const words = process.argv.slice(2);
while (words.length > 0) {
  const word = words.shift();
  if (word === "--keep") keep = true;
  else if (word in options && words.length > 0) options[word] = words.shift();
  else throw new Error(`trace does not know ${word}`);
}
const throttle = Number(options["--throttle"]);
const seconds = Number(options["--seconds"]);
if (!(throttle >= 1) || !(seconds > 0)) throw new Error("--throttle wants a number from 1, --seconds one above 0");

/** A thumb moves no faster than the screen shows. */
const MOVE_MS = 1000 / 60;
const MARKS = ["thumb-down", "thumb-up"];

const site = await startSite();
const browser = await chromium.launch({ executablePath, args });
try {
  const page = await (await browser.newContext({ ...screens.phone, locale: "en-US" })).newPage();
  await page.goto(`${site.url}#/`);
  await page.getByRole("button", { name: "Load the example rigs" }).click();
  await page.getByText("Saved").first().waitFor();
  await page.getByRole("navigation", { name: "Main" }).getByRole("link", { name: "Reach", exact: true }).click();
  const slider = page.getByRole("main").getByRole("slider", { name: options["--slider"], exact: true });
  await slider.waitFor();
  await slider.evaluate((element) => element.scrollIntoView({ block: "center" }));
  await page.waitForLoadState("networkidle");
  await page.evaluate(() => {
    window.inputs = 0;
    document.addEventListener("input", () => (window.inputs += 1), { capture: true });
  });

  const cdp = await page.context().newCDPSession(page);
  await cdp.send("Emulation.setCPUThrottlingRate", { rate: throttle });
  await browser.startTracing(page, {
    categories: ["toplevel", "cc", "benchmark", "blink.user_timing", "devtools.timeline", "disabled-by-default-devtools.timeline", "disabled-by-default-devtools.timeline.frame"],
  });
  const { x, y, width, height } = await slider.boundingBox();
  const at = (share) => [{ x: x + width * share, y: y + height / 2 }];
  const touch = (type, touchPoints) => cdp.send("Input.dispatchTouchEvent", { type, touchPoints });
  await touch("touchStart", at(0.5));
  await page.evaluate((mark) => performance.mark(mark), MARKS[0]);
  const moves = [];
  const started = performance.now();
  for (let n = 1; performance.now() - started < seconds * 1000; n += 1) {
    // To and fro in about two seconds, from a tenth to nine tenths of the way.
    moves.push(touch("touchMove", at(0.5 + 0.4 * Math.sin((n * MOVE_MS * Math.PI) / 1000))));
    await sleep(Math.max(0, started + n * MOVE_MS - performance.now()));
  }
  await Promise.all(moves);
  await page.evaluate((mark) => performance.mark(mark), MARKS[1]);
  await touch("touchEnd", []);
  const { inputs } = await page.evaluate(() => ({ inputs: window.inputs }));
  const trace = JSON.parse((await browser.stopTracing()).toString("utf8"));
  if (keep) {
    const out = new URL("../../target/trace/", import.meta.url).pathname;
    mkdirSync(out, { recursive: true });
    writeFileSync(`${out}reach.json`, JSON.stringify(trace));
    console.log(`kept as ${out}reach.json (open it in the browser's performance panel)`);
  }
  if (inputs < 10) throw new Error(`the slider did not follow the thumb: ${inputs} changes`);
  report(trace.traceEvents, inputs);
} finally {
  await browser.close();
  await site.stop();
}

function report(events, inputs) {
  const mark = (name) => events.find((e) => e.name === name && e.cat.includes("user_timing"));
  const [down, up] = MARKS.map(mark);
  if (!down || !up) throw new Error("the trace has no marks of the thumb");
  const within = (e) => down.ts <= e.ts && e.ts <= up.ts;
  const ms = (us) => us / 1000;

  // Each frame of the page as the compositor reports it, from when it should begin to when it was shown or given up.
  const reporters = events.filter((e) => e.name === "PipelineReporter" && e.pid === down.pid && e.ph === "b" && within(e));
  const states = reporters.map((e) => e.args?.chrome_frame_reporter?.state ?? e.args?.termination_status ?? "unknown");
  const count = (wanted) => states.filter((state) => wanted.test(state)).length;
  const dropped = count(/DROPPED/);
  const partial = count(/PARTIAL/);
  const shown = count(/PRESENTED/);
  if (shown === 0) throw new Error(`the trace has no frames: ${[...new Set(states)].join(", ")}`);

  const onThread = events.filter((e) => e.ph === "X" && e.pid === down.pid && e.tid === down.tid && within(e));
  const tasks = onThread.filter((e) => /RunTask$/.test(e.name)).sort((a, b) => a.dur - b.dur);
  // A task inside a task counts once.
  const outer = tasks.filter((e) => !tasks.some((o) => o !== e && o.ts <= e.ts && e.ts + e.dur <= o.ts + o.dur && o.dur > e.dur));
  const busy = outer.filter((e) => e.dur >= 500);
  const longest = outer.at(-1)?.dur ?? 0;
  const p95 = busy[Math.min(busy.length - 1, Math.floor(busy.length * 0.95))]?.dur ?? 0;
  const line = (name, value) => console.log(`${name.padEnd(34)} ${value}`);
  line("processor slowed down", `${throttle}×`);
  line("thumb moved for", `${ms(up.ts - down.ts).toFixed(0)} ms, ${inputs} changes of the slider`);
  line("frames shown", `${shown}`);
  line("frames dropped", `${dropped}`);
  line("frames shown without the page's part", `${partial}`);
  line("longest task", `${ms(longest).toFixed(1)} ms`);
  line("95 % of tasks no longer than", `${ms(p95).toFixed(1)} ms (${busy.length} of 0.5 ms or more)`);
  line("tasks beyond 16.7 ms", `${outer.filter((e) => ms(e.dur) > 16.7).length}`);
  console.log("\nwhere the time goes, in ms for each change of the slider:");
  const kinds = { script: /^(FunctionCall|EvaluateScript|FireAnimationFrame|TimerFire|RunMicrotasks|EventDispatch)$/, style: /^(UpdateLayoutTree|RecalculateStyles)$/, layout: /^Layout$/, "pre-paint": /^PrePaint$/, paint: /^(Paint|Layerize|Commit)$/, "garbage collection": /^(MinorGC|MajorGC|V8\.GC.*)$/ };
  for (const [kind, names] of Object.entries(kinds)) {
    const own = onThread.filter((e) => names.test(e.name));
    const top = own.filter((e) => !own.some((o) => o !== e && o.ts <= e.ts && e.ts + e.dur <= o.ts + o.dur && o.dur > e.dur));
    const sum = top.reduce((total, e) => total + e.dur, 0);
    line(`  ${kind}`, `${(ms(sum) / inputs).toFixed(2)}`);
  }
}
