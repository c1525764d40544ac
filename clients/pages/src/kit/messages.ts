import { messages } from '../../../../src/domain/message.js';

export const message = messages({
  'page-skip': {},
  'page-views': {},
  'page-language': {},
  'page-sign-in': {},
  'page-sign-out': {},
  'page-sign-in-at-provider': {},
  'page-provider-away': {},
  'page-token': {},
  'page-about-token': {},
  'page-token-refused': {},
  'page-sign-in-over': {},
  'page-loading': {},
  'page-no-answer': {},
  'page-try-again': {},
  'page-cancel': {},
  'page-close': {},
  'page-live': {},
  'page-connecting': {},
  'page-cut-off': {},
  'page-disclaimer': {},
});
