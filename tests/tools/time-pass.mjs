// Times a simulated pass in Chromium on the release build: five minutes of driving, 120 nozzles, 40 events, then what would
// help it. Called by `cargo xtask time-pass`. Nothing fails by it: speed is shown, never tested.
//
// What the app does in slices it does in timeouts of no delay, so those are what is added up. How long a touch might have
// to wait is the longest task of the page's main thread while they run, as the browser's own trace has it.

import { chromium } from "playwright-core";
import { args, executablePath } from "../support/browser.mjs";
import { startSite } from "../support/server.mjs";

const RUNS = 7;
const DEVICE = "t1mepass";
const RIG = `rig:${DEVICE}-1`;
const DRIVE = `drive:${DEVICE}-2`;

/** Ten sections of twelve nozzles half a metre apart. */
function rig() {
  const texts = {
    name: "Boom to be timed", system: "metric", "section.count": ";;10",
    "nozzle.by": "flow", "nozzle.flow": ";l_per_min;0.8", "nozzle.pressure": ";bar;3", "nozzle.spacing": ";cm;50",
    "pump.count": ";;1", "pump.1.first": ";l_per_ha;1", "pump.1.second": ";l_per_ha;1.5", "pump.1.nudge": ";pct;10",
    "pump.1.label_greatest": ";l_per_ha;2", "carrier.mode": "regulated", "carrier.rate": ";l_per_ha;100",
    "standing.speed": ";km_per_h;10.8", "plumbing.supply_length": ";m;2", "plumbing.main_length": ";m;5",
    "plumbing.main_bore": ";mm;38", "plumbing.hose_by": "reach", "plumbing.hose_extra": ";m;1",
    "plumbing.hose_bore": ";mm;19", "plumbing.feed": "centre", "plumbing.section_bore": ";mm;19",
  };
  for (let n = 1; n <= 10; n += 1) {
    texts[`section.${n}.by`] = "nozzles";
    texts[`section.${n}.nozzles`] = ";;12";
  }
  return texts;
}

/** Sets off, 19 stretches of something and 19 of nothing, ends: 40 events in five minutes at 3 m/s. */
function drive() {
  const stretch = `${((3 * 290) / 19 / 2).toFixed(1)}`;
  const distance = `;m;${stretch}`;
  const events = [
    { do: "shut", sections: "1", distance },
    { do: "second", distance },
    { do: "nudge", presses: ";;1", distance },
    { do: "corner", speed: ";km_per_h;5.4", takes: ";s;2", distance: `;m;${(stretch / 4).toFixed(1)}` },
  ];
  const steps = [{ do: "set_off", speed: ";km_per_h;10.8", takes: ";s;4" }];
  for (let pair = 0; pair < 19; pair += 1) steps.push({ do: "steady", distance }, events[pair % 4]);
  steps.push({ do: "end", takes: ";s;4" });
  const texts = { name: "Five minutes", rig: RIG };
  steps.forEach((step, idx) => {
    for (const [field, text] of Object.entries(step)) texts[`step.${idx + 1}.${field}`] = text;
    texts[`step.${idx + 1}.order`] = `;;${idx + 1}`;
  });
  return texts;
}

/** A stored record, with the checksum that it carries. */
function record(seq, doc, texts) {
  const set = Object.fromEntries(Object.entries(texts).sort(([a], [b]) => (a < b ? -1 : 1)));
  const entry = { schema: 1, id: `${DEVICE}-${seq}`, at: "2026-01-01T00:00:00Z", by: "", doc, set, seen: {} };
  const open = JSON.stringify(entry).slice(0, -1);
  let crc = ~0;
  for (const byte of Buffer.from(open)) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  const sum = (~crc >>> 0).toString(16).padStart(8, "0");
  return [`boomwright/entry/${DEVICE}-${String(seq).padStart(10, "0")}`, `${open},"sum":"${sum}"}`];
}

const site = await startSite();
const browser = await chromium.launch({ executablePath, args });
try {
  for (const slower of [1, 4]) {
    const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, deviceScaleFactor: 2 });
    const page = await context.newPage();
    await page.addInitScript((records) => {
      for (const [key, text] of records) localStorage.setItem(key, text);
      const later = window.setTimeout.bind(window);
      window.slices = [];
      window.setTimeout = (work, delay, ...more) => {
        if (delay || typeof work !== "function") return later(work, delay, ...more);
        return later(() => {
          const began = performance.now();
          work();
          const is = (selector) => document.querySelector(selector) !== null;
          const slice = { ms: performance.now() - began, passed: is(".pass__figures table"), helped: is(".pass__remedy") };
          if (slice.passed && !window.slices.at(-1)?.passed) performance.mark("pass shown");
          window.slices.push(slice);
        }, 0);
      };
    }, [record(1, RIG, rig()), record(2, DRIVE, drive())]);
    await page.goto(`${site.url}#/rig`);
    await page.getByRole("heading", { level: 1 }).first().waitFor();
    const session = await context.newCDPSession(page);
    await session.send("Emulation.setCPUThrottlingRate", { rate: slower });
    const runs = [];
    for (let run = 0; run < RUNS; run += 1) runs.push(await timed(browser, page));
    print(slower, runs);
    await context.close();
  }
} finally {
  await browser.close();
  await site.stop();
}

async function timed(browser, page) {
  await page.evaluate(() => { location.hash = "#/rig"; window.slices = []; });
  await page.waitForTimeout(200);
  await browser.startTracing(page, { categories: ["toplevel", "devtools.timeline", "disabled-by-default-devtools.timeline", "blink.user_timing"] });
  const began = Date.now();
  await page.evaluate((drive) => { location.hash = `#/pass/${drive}`; }, DRIVE);
  await page.locator(".pass__figures table").first().waitFor();
  const shown = Date.now() - began;
  await page.locator(".pass__remedy").first().waitFor({ timeout: 120_000 });
  const helped = Date.now() - began;
  const trace = JSON.parse((await browser.stopTracing()).toString());
  const slices = await page.evaluate(() => window.slices);
  const pass = slices.filter((slice) => !slice.passed);
  const help = slices.filter((slice) => slice.passed && !slice.helped);
  const sum = (all) => all.reduce((ms, slice) => ms + slice.ms, 0);
  const longest = (all) => Math.max(0, ...all.map((slice) => slice.ms));
  return {
    pass: sum(pass), n: pass.length, longest: longest(pass), shown,
    help: sum(help), longestHelp: longest(help), helped, tasks: tasks(trace),
    own: ownOfPass(trace),
  };
}

/** What the slices of the pass took on the processor, in ms: the clock also counts what else this machine does. */
function ownOfPass({ traceEvents }) {
  const shown = traceEvents.find((event) => event.name === "pass shown")?.ts ?? Infinity;
  const fired = traceEvents.filter((event) => event.name === "TimerFire" && event.ts < shown);
  return fired.reduce((ms, event) => ms + (event.tdur ?? event.dur ?? 0) / 1000, 0);
}

/** Lengths of the main thread's tasks in ms, longest first. */
function tasks({ traceEvents }) {
  const main = new Set(
    traceEvents
      .filter((event) => event.name === "thread_name" && event.args?.name === "CrRendererMain")
      .map((event) => `${event.pid} ${event.tid}`),
  );
  const busiest = new Map();
  for (const event of traceEvents) {
    const thread = `${event.pid} ${event.tid}`;
    if (!main.has(thread) || !/RunTask$/.test(event.name) || !event.dur) continue;
    busiest.set(thread, [...(busiest.get(thread) ?? []), event.dur / 1000]);
  }
  const all = [...busiest.values()].sort((a, b) => b.length - a.length)[0] ?? [];
  return all.sort((a, b) => b - a);
}

function print(slower, runs) {
  const median = (of) => runs.slice(1).map(of).sort((a, b) => a - b)[Math.floor((RUNS - 1) / 2)];
  const worst = (of) => Math.max(...runs.slice(1).map(of));
  const ms = (value) => `${value.toFixed(1)} ms`;
  console.log(`\n  processor ${slower === 1 ? "as it is" : `${slower} times slower`}: first run, then the median of ${RUNS - 1}`);
  console.log(`    pass, computing in all    ${ms(runs[0].pass)}   ${ms(median((run) => run.pass))} in ${median((run) => run.n)} slices`);
  console.log(`      of it on the processor  ${ms(runs[0].own)}   ${ms(median((run) => run.own))}`);
  console.log(`    pass, until it is shown   ${ms(runs[0].shown)}   ${ms(median((run) => run.shown))}`);
  console.log(`    pass, longest slice       ${ms(runs[0].longest)}   ${ms(median((run) => run.longest))}, worst ${ms(worst((run) => run.longest))}`);
  console.log(`    help, computing in all    ${ms(runs[0].help)}   ${ms(median((run) => run.help))}`);
  console.log(`    help, until it is shown   ${ms(runs[0].helped)}   ${ms(median((run) => run.helped))}`);
  console.log(`    help, longest slice       ${ms(runs[0].longestHelp)}   ${ms(median((run) => run.longestHelp))}`);
  const all = median((run) => run.tasks[0] ?? 0);
  console.log(`    longest tasks, with page  ${(runs.at(-1).tasks.slice(0, 5)).map((task) => task.toFixed(0)).join(", ")} ms; median of the longest ${ms(all)}`);
}
