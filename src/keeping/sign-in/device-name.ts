/** What a browser calls itself, most specific first: Edge also says Chrome, and Chrome Safari. */
const BROWSERS: [RegExp, string][] = [
  [/\bEdg(?:e|A|iOS)?\//, 'Edge'],
  [/\bOPR\//, 'Opera'],
  [/\bSamsungBrowser\//, 'Samsung Internet'],
  [/\b(?:Firefox|FxiOS)\//, 'Firefox'],
  [/\b(?:Chrome|CriOS|Chromium)\//, 'Chrome'],
  [/\bSafari\//, 'Safari'],
];

const SYSTEMS: [RegExp, string][] = [
  [/\bAndroid\b/, 'Android'],
  [/\biPhone\b/, 'iPhone'],
  [/\biPad\b/, 'iPad'],
  [/\bWindows\b/, 'Windows'],
  [/\bCrOS\b/, 'ChromeOS'],
  [/\bMac OS X\b/, 'Mac'],
  [/\bLinux\b/, 'Linux'],
];

/**
 * Names a device by its `User-Agent` header, so that a person recognises it in a list; null when it
 * cannot be told.
 *
 * @example deviceName('Mozilla/5.0 (Linux; Android 14) … Chrome/131.0 Mobile Safari/537.36') //
 *   'Chrome, Android'
 */
export function deviceName(userAgent: string | undefined): string | null {
  const known = (names: [RegExp, string][]): string | undefined =>
    names.find(([pattern]) => pattern.test(userAgent ?? ''))?.[1];
  return [known(BROWSERS), known(SYSTEMS)].filter((name) => name !== undefined).join(', ') || null;
}
