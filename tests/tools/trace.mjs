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

  // Each frame as the compositor reports it, from when it should begin to when it was shown or given up. Where the page is not
  // ready in time the report is forked: one part ends with nothing new on the screen, the other with the frame that comes later.
  const reports = events.filter((e) => e.name === "PipelineReporter" && e.pid === down.pid && e.ph === "b" && within(e));
  // The name of the record differs between versions of Chromium.
  const frames = reports.map((e) => e.args.frame_reporter ?? e.args.chrome_frame_reporter ?? {});
  const count = (state, forked) => frames.filter((f) => state.test(f.state) && (f.frame_type === "FORKED") === forked).length;
  const shown = count(/PRESENTED/, false);
  if (shown === 0) throw new Error(`the trace has no frames: ${[...new Set(frames.map((f) => f.state))].join(", ")}`);

  const onThread = events.filter((e) => e.ph === "X" && e.pid === down.pid && e.tid === down.tid && within(e));
  // A task inside a task counts once.
  const outermost = (spans) => {
    const found = [];
    for (const e of spans.sort((a, b) => a.ts - b.ts || b.dur - a.dur)) {
      const last = found.at(-1);
      if (!last || last.ts + last.dur <= e.ts) found.push(e);
    }
    return found;
  };
  const tasks = outermost(onThread.filter((e) => e.name === "RunTask"));
  // By the clock a task also waits for whatever else this machine does; its time on the processor does not.
  const clock = (e) => ms(e.dur);
  const own = (e) => ms(e.tdur ?? e.dur);
  const longest = (time) => `${Math.max(0, ...tasks.map(time)).toFixed(1)} ms`;
  const p95 = (time) => {
    const lengths = tasks.map(time).filter((length) => length >= 0.5).sort((a, b) => a - b);
    return `${(lengths[Math.ceil(lengths.length * 0.95) - 1] ?? 0).toFixed(1)} ms`;
  };
  const line = (name, value) => console.log(`${name.padEnd(34)} ${value}`);
  line("processor slowed down", `${throttle}×`);
  line("thumb moved for", `${ms(up.ts - down.ts).toFixed(0)} ms, ${inputs} changes of the slider`);
  line("frames shown", `${shown}`);
  line("frames shown late", `${count(/DROPPED|PARTIAL/, true)}`);
  line("frames dropped", `${count(/DROPPED/, false)}`);
  line("longest task", `${longest(clock)}, on the processor ${longest(own)}`);
  line("95 % of tasks no longer than", `${p95(clock)}, on the processor ${p95(own)} (of tasks of 0.5 ms or more)`);
  line("tasks beyond 16.7 ms", `${tasks.filter((e) => clock(e) > 16.7).length}, on the processor ${tasks.filter((e) => own(e) > 16.7).length}`);
  console.log("\nwhere the page's thread spends its time, in ms on the processor for each change of the slider:");
  const kinds = {
    script: /^(FunctionCall|EvaluateScript|FireAnimationFrame|TimerFire|RunMicrotasks|EventDispatch)$/,
    style: /^(UpdateLayoutTree|RecalculateStyles)$/,
    layout: /^Layout$/,
    "before painting": /^PrePaint$/,
    "painting and handing over": /^(Paint|Layerize|Commit)$/,
    "clearing memory": /^(MinorGC|MajorGC)$/,
  };
  for (const [kind, names] of Object.entries(kinds)) {
    const sum = outermost(onThread.filter((e) => names.test(e.name))).reduce((total, e) => total + own(e), 0);
    line(`  ${kind}`, `${(sum / inputs).toFixed(2)}`);
  }
}
