// Imports only this one of the library's hundred modules. The type is the one CommonJS sees.
import email from 'validator/lib/isEmail.js';

/**
 * Characters that break a line, control a terminal or are invisible: direction marks and zero-width
 * characters. They are valid in a local part, but mail servers read them in different ways, and
 * people see another address than the one the mail goes to.
 */
const CONTROL = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u;

/**
 * Describes the first control or invisible character in an address, such as "U+000A at character
 * 3"; null when there is none.
 */
export function controlCharacterIn(address: string): string | null {
  const found = CONTROL.exec(address);
  if (!found) return null;
  const code = (found[0].codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0');
  return `U+${code} at character ${found.index + 1}`;
}

/** Whether e-mail can be sent to an address. */
export const isMailAddress = (address: string): boolean =>
  controlCharacterIn(address) === null && email.default(address);
