import { LRUCache } from 'lru-cache';
import Negotiator from 'negotiator';
import { scopeOf } from '../scope/request-scope.js';
import { isLanguage, type Language } from '../words/languages.js';

/** Used if neither the request, the token nor the fleet names a language. */
const USUAL: Language = 'en';

/** Parsed headers, because clients send the same few again and again. */
const asked = new LRUCache<string, { language: Language | null }>({
  max: 500,
  maxSize: 50_000,
  sizeCalculation: (_, header) => header.length + 1,
});

/**
 * Returns the language that an `Accept-Language` header prefers (RFC 9110, 12.5.4), or null if the
 * service speaks none of those it names.
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

/**
 * Returns the language of an answer. The scope of the request holds it; a request that was not let
 * in has none, and is answered in the language that it asks for.
 */
export function languageOfRequest(request: {
  headers: { 'accept-language'?: string | undefined };
}): Language {
  return scopeOf(request)?.language ?? languageAskedFor(request.headers['accept-language']) ?? USUAL;
}
