import { isLanguage, type Language } from './languages.js';
import type { Reader } from './render.js';

/**
 * The language of whoever runs a command or starts the service: what the terminal is set to, by the
 * variables of POSIX in their order; English where that is no language spoken here.
 *
 * @example operatorLanguage({ LANG: 'es_MX.UTF-8' }) // 'es'
 */
export function operatorLanguage(env: Readonly<Record<string, string | undefined>>): Language {
  const set = env.LC_ALL || env.LC_MESSAGES || env.LANG || '';
  const tag = set.split(/[_.@]/)[0]?.toLowerCase();
  return isLanguage(tag) ? tag : 'en';
}

/** Reads what this process writes to its terminal. */
export const OPERATOR: Reader = { language: operatorLanguage(process.env), units: null };
