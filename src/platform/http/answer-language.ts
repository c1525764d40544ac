import type { FastifyInstance, FastifyReply } from 'fastify';
import { languageOfRequest } from '../presenting/language-of-request.js';
import type { Language } from '../words/languages.js';

/** Content types that contain text for people: data, pages and calendars, but not photos. */
const IN_WORDS = /^(application\/(problem\+)?json|text\/(html|calendar))\b/;

/**
 * Sets the language of each response in `Content-Language`, and marks it as negotiable in `Vary`
 * (RFC 9110, 8.5 and 12.5.4). A response that exists in one language only has set the header
 * itself.
 */
export function registerAnswerLanguage(fastify: FastifyInstance): void {
  fastify.addHook('onSend', (request, reply, payload, done) => {
    const isInWords =
      reply.statusCode === 304 || IN_WORDS.test(String(reply.getHeader('content-type') ?? ''));
    if (isInWords && !reply.hasHeader('content-language')) sayLanguage(reply, languageOfRequest(request));
    done(null, payload);
  });
}

/** Sets the language of one response that could also be had in another. */
export function sayLanguage(reply: FastifyReply, language: Language): void {
  void reply.header('content-language', language).header('vary', alsoByLanguage(reply));
}

function alsoByLanguage(reply: FastifyReply): string {
  const also = reply.getHeader('vary');
  if (also === undefined) return 'Accept-Language';
  return String(also).includes('Accept-Language') ? String(also) : `${String(also)}, Accept-Language`;
}
