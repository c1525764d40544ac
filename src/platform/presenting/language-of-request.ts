import Negotiator from 'negotiator';
import { currentLanguage } from '../scope/fleet-scope.js';
import { isLanguage, type Language } from '../words/languages.js';

/** The language of those who ask for none, and have set none. */
const USUAL: Language = 'en';

/**
 * The language that an `Accept-Language` header asks for (RFC 9110, 12.5.4), by what it prefers
 * most; null where it names none that the service speaks.
 *
 * @example languageAskedFor('fr, es-MX;q=0.8, en;q=0.5') // 'es'
 */
export function languageAskedFor(header: string | undefined): Language | null {
  const preferred = new Negotiator({ headers: { 'accept-language': header } }).languages();
  return preferred.map((tag) => tag.split('-')[0]?.toLowerCase()).find(isLanguage) ?? null;
}

/** The language of an answer: what the request asks for, else the token's, else the fleet's. */
export function languageOfRequest(request: {
  headers: { 'accept-language'?: string | undefined };
}): Language {
  return languageAskedFor(request.headers['accept-language']) ?? currentLanguage() ?? USUAL;
}
