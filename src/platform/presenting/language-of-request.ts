import { LRUCache } from 'lru-cache';
import Negotiator from 'negotiator';
import { currentLanguage } from '../scope/fleet-scope.js';
import { isLanguage, type Language } from '../words/languages.js';

/** The language of those who ask for none, and have set none. */
const USUAL: Language = 'en';

/** Most clients ask in the same few ways, again and again. */
const asked = new LRUCache<string, { language: Language | null }>({
  max: 500,
  maxSize: 50_000,
  sizeCalculation: (_, header) => header.length + 1,
});

/**
 * The language that an `Accept-Language` header asks for (RFC 9110, 12.5.4), by what it prefers
 * most; null where it names none that the service speaks.
 *
 * @example languageAskedFor('fr, es-MX;q=0.8, en;q=0.5') // 'es'
 */
export function languageAskedFor(header: string | undefined): Language | null {
  if (header === undefined) return null;
  const known = asked.get(header);
  if (known !== undefined) return known.language;
  const preferred = new Negotiator({ headers: { 'accept-language': header } }).languages();
  const language = preferred.map((tag) => tag.split('-')[0]?.toLowerCase()).find(isLanguage) ?? null;
  asked.set(header, { language });
  return language;
}

/** The language of an answer: what the request asks for, else the token's, else the fleet's. */
export function languageOfRequest(request: {
  headers: { 'accept-language'?: string | undefined };
}): Language {
  return languageAskedFor(request.headers['accept-language']) ?? currentLanguage() ?? USUAL;
}
