import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome-stable', 'google-chrome'];
const ELSEWHERE = [
  '/usr/bin',
  '/usr/local/bin',
  '/snap/bin',
  '/opt/google/chrome',
  '/Applications/Chromium.app/Contents/MacOS',
  '/Applications/Google Chrome.app/Contents/MacOS',
];
const MAC_NAMES = ['Chromium', 'Google Chrome'];

function isExecutable(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/**
 * Finds the Chromium to print with: the one that CHROMIUM_PATH names, otherwise the first on the
 * PATH or in the usual places; null without one.
 */
export function findChromium() {
  const named = process.env.CHROMIUM_PATH;
  if (named) return isExecutable(named) ? named : null;
  const folders = [...(process.env.PATH ?? '').split(delimiter).filter(Boolean), ...ELSEWHERE];
  for (const folder of folders) {
    const found = [...NAMES, ...MAC_NAMES].map((name) => join(folder, name)).find(isExecutable);
    if (found) return found;
  }
  return null;
}
