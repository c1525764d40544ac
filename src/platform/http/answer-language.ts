import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { languageAskedFor } from '../presenting/language-of-request.js';
import type { FleetScope } from '../scope/fleet-scope.js';
import type { Language } from '../words/languages.js';

/** Content types with text for people: data, pages and calendars, but no photos. */
const IN_WORDS = /^(application\/(problem\+)?json|text\/(html|calendar))\b/;

/**
 * Says in which language an answer is, and that another may be asked for (RFC 9110, 8.5 and
 * 12.5.4). An answer that comes in one language alone says so itself, and is left so.
 *
 * @param scopeOf on whose behalf a request was let in; it holds the language
 */
export function registerAnswerLanguage(
  fastify: FastifyInstance,
  scopeOf: (request: FastifyRequest) => FleetScope | undefined,
): void {
  fastify.addHook('onSend', (request, reply, payload, done) => {
    const isInWords =
      reply.statusCode === 304 || IN_WORDS.test(String(reply.getHeader('content-type') ?? ''));
    if (isInWords && !reply.hasHeader('content-language'))
      sayLanguage(
        reply,
        scopeOf(request)?.language ?? languageAskedFor(request.headers['accept-language']) ?? 'en',
      );
    done(null, payload);
  });
}

/** Says the language of one answer, which another request could have in another. */
export function sayLanguage(reply: FastifyReply, language: Language): void {
  void reply.header('content-language', language).header('vary', alsoByLanguage(reply));
}

function alsoByLanguage(reply: FastifyReply): string {
  const also = reply.getHeader('vary');
  if (also === undefined) return 'Accept-Language';
  return String(also).includes('Accept-Language') ? String(also) : `${String(also)}, Accept-Language`;
}
