// Of the library's hundred modules, this one; typed as CommonJS sees it.
import email from 'validator/lib/isEmail.js';

/**
 * What breaks a line, controls a terminal, or is not seen: the marks that turn the direction of
 * text, and characters without a width. It may stand in a local part; mail servers read it in
 * different ways, and people read another address than the one that is written to.
 */
const CONTROL = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u;

/**
 * Where a control or invisible character stands in an address, such as "U+000A at character 3";
 * null where there is none.
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
