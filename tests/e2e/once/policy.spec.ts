// Nothing from elsewhere runs or is asked for, even if it found its way into the page.

import { expect, expectStarted, test } from "../../support/app.ts";

test("the page carries its policy before anything that loads", async ({ page }) => {
  const html = await (await page.request.get("./")).text();
  const policy = html.indexOf('http-equiv="Content-Security-Policy"');
  expect(policy).toBeGreaterThan(0);
  expect(policy).toBeLessThan(html.search(/<script|<link/));
});

test("a script that was not there at build time does not run, and nothing is sent elsewhere", async ({ browser, site }) => {
  // A context of its own: the watch of the others would rightly complain about what is tried here.
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(site.url);
  await expectStarted(page);
  const tried = await page.evaluate(async () => {
    const blocked: string[] = [];
    document.addEventListener("securitypolicyviolation", (event) => blocked.push(event.effectiveDirective));
    const script = document.createElement("script");
    script.textContent = "window.smuggled = true";
    document.body.append(script);
    // A port of this machine where nobody listens; the event below tells that not even that was asked.
    await fetch("http://127.0.0.1:9/").catch(() => undefined);
    await new Promise((done) => setTimeout(done, 100));
    return { ran: "smuggled" in window, blocked };
  });
  expect(tried).toEqual({ ran: false, blocked: ["script-src-elem", "connect-src"] });
  await context.close();
});
