// Variations of the real build, for tests about deployments. Each is a copy in a folder of its own; dist/ stays as it is.

import { createHash } from "node:crypto";
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { dist } from "./server.mjs";

const made: string[] = [];
process.on("exit", () => made.forEach((dir) => rmSync(dir, { recursive: true, force: true })));

function copyOfBuild(): string {
  const dir = mkdtempSync(join(tmpdir(), "boomwright-build-"));
  made.push(dir);
  cpSync(dist, dir, { recursive: true });
  return dir;
}

/** The next version: its page has another title, and the worker's list and version follow, as a real build would do it. */
export function nextBuild(title: string): string {
  const dir = copyOfBuild();
  const page = readFileSync(join(dir, "index.html"), "utf8");
  const next = page.replace(/<title>[^<]*/, `<title>${title}`).replace("<body>", `<body data-build="${title}">`);
  if (next === page) throw new Error("index.html has no title to change");
  for (const name of ["index.html", "404.html"]) writeFileSync(join(dir, name), next);
  const digest = createHash("sha256").update(next).digest("base64");
  const worker = readFileSync(join(dir, "sw.js"), "utf8")
    .replace(/\["index\.html","sha256-[^"]*"\]/, `["index.html","sha256-${digest}"]`)
    .replace(/const VERSION = "[^"]*"/, `const VERSION = "${createHash("sha256").update(title).digest("hex").slice(0, 16)}"`);
  writeFileSync(join(dir, "sw.js"), worker);
  return dir;
}

export function removeFile(dir: string, name: string): void {
  rmSync(join(dir, name));
}

/** The files the worker keeps, as [address, integrity]. */
export function keptFiles(dir: string): [string, string][] {
  const line = readFileSync(join(dir, "sw.js"), "utf8").match(/^const FILES = (\[.*\]);/m);
  if (!line) throw new Error("sw.js has no list of files");
  return JSON.parse(line[1]);
}
