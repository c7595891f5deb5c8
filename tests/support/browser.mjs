// The browser all tests use: Debian's Chromium, without what it would do on its own account.
// Plain JavaScript, because the kill test and the screenshots use it without a compiler.

export const executablePath = process.env.BOOMWRIGHT_CHROMIUM ?? "/usr/bin/chromium";

export const args = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

export const screens = {
  phone: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 },
  tablet: { viewport: { width: 1024, height: 768 }, hasTouch: true },
  desktop: { viewport: { width: 1440, height: 900 } },
};
