// Starts and stops the static server of `cargo xtask serve`, so that the app is tested behind the same host a developer sees.

import { spawn } from "node:child_process";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../../", import.meta.url));

/** The release build. */
export const dist = `${root}dist`;

/**
 * A running site. `stop` and `start` keep the port, and with it the origin and everything stored under it.
 * A host that lets files be cached for a while (`maxAge` in seconds) is the harder case for updates, so it is the usual one.
 */
export async function startSite({ dir = dist, base = "/", maxAge = 600 } = {}) {
  let running = await start({ dir, base, maxAge, port: 0 });
  const { port } = new URL(running.url);
  const site = {
    url: running.url,
    dir,
    async stop() {
      await running?.stop();
      running = undefined;
    },
    /** Again on the same port; with another folder it is a new deployment. */
    async start(other = site.dir) {
      await site.stop();
      site.dir = other;
      running = await start({ dir: other, base, maxAge, port });
    },
  };
  return site;
}

async function start({ dir, base, maxAge, port }) {
  const program = process.env.BOOMWRIGHT_SERVER ?? `${process.env.CARGO_TARGET_DIR ?? `${root}target`}/debug/xtask`;
  const options = ["serve", "--dir", dir, "--base", base, "--max-age", `${maxAge}`, "--port", `${port}`];
  const child = spawn(program, options, { cwd: root, stdio: ["ignore", "pipe", "inherit"] });
  const ended = new Promise((resolve) => child.once("exit", resolve));
  const url = await new Promise((resolve, reject) => {
    child.once("error", reject);
    child.once("exit", (code) => reject(new Error(`the server ended with ${code}`)));
    createInterface(child.stdout).on("line", (line) => {
      if (line.startsWith("Serving at ")) resolve(line.slice("Serving at ".length));
    });
  });
  return {
    url,
    async stop() {
      child.kill("SIGKILL");
      await ended;
    },
  };
}
