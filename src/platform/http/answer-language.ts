import type { FastifyInstance, FastifyReply } from 'fastify';
import { languageOfRequest } from '../presenting/language-of-request.js';

/** Content types that contain text for people: data, pages and calendars, but not photos. */
const IN_WORDS = /^(application\/(problem\+)?json|text\/(html|calendar))\b/;

/**
 * Sets the language of each response in `Content-Language`, and marks it as negotiable in `Vary`
 * (RFC 9110, 8.5 and 12.5.4).
 */
export function registerAnswerLanguage(fastify: FastifyInstance): void {
  fastify.addHook('onSend', (request, reply, payload, done) => {
    if (reply.statusCode === 304 || IN_WORDS.test(String(reply.getHeader('content-type') ?? ''))) {
      void reply.header('content-language', languageOfRequest(request)).header('vary', alsoByLanguage(reply));
    }
    done(null, payload);
  });
}

function alsoByLanguage(reply: FastifyReply): string {
  const also = reply.getHeader('vary');
  if (also === undefined) return 'Accept-Language';
  return String(also).includes('Accept-Language') ? String(also) : `${String(also)}, Accept-Language`;
}
