import { isLanguage, type Language } from './languages.js';
import type { Reader } from './render.js';

/**
 * The language of the person who runs a command or starts the service. It comes from the terminal's
 * POSIX variables, in their order. English when the service does not speak that language.
 *
 * @example operatorLanguage({ LANG: 'es_MX.UTF-8' }) // 'es'
 */
export function operatorLanguage(env: Readonly<Record<string, string | undefined>>): Language {
  const set = env.LC_ALL || env.LC_MESSAGES || env.LANG || '';
  const tag = set.split(/[_.@]/)[0]?.toLowerCase();
  return isLanguage(tag) ? tag : 'en';
}

/** The person who reads what this process writes to its terminal. */
export const OPERATOR: Reader = { language: operatorLanguage(process.env), units: null };
