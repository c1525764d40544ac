import { type Browser, chromium } from 'playwright-core';

const LAUNCH = {
  executablePath: process.env.WEEPHOLE_TEST_CHROMIUM,
  args: [
    '--headless',
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ],
};

/** The Chromium that the run was given. */
export const launchBrowser = (): Promise<Browser> => chromium.launch(LAUNCH);
