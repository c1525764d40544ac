// Of the library's hundred modules, this one; typed as CommonJS sees it.
import email from 'validator/lib/isEmail.js';

/**
 * What breaks a line or controls a terminal: it may stand in a quoted local part, and mail servers
 * read it in different ways.
 */
const CONTROL = /[\p{Cc}\p{Zl}\p{Zp}]/u;

/**
 * Where a control character stands in an address, such as "U+000A at character 3"; null where there
 * is none.
 */
export function controlCharacterIn(address: string): string | null {
  const found = CONTROL.exec(address);
  if (!found) return null;
  const code = found[0].charCodeAt(0).toString(16).toUpperCase().padStart(4, '0');
  return `U+${code} at character ${found.index + 1}`;
}

/** Whether e-mail can be sent to an address. */
export const isMailAddress = (address: string): boolean =>
  controlCharacterIn(address) === null && email.default(address);
