import { messages } from '../../domain/message.js';

export const message = messages({
  // Why a value of a machine was refused.
  'source-value-ahead': { at: 'text', now: 'text' },
  'source-machines-too-many': { limit: 'number' },
  'source-two-values': { at: 'text' },

  // Why a poll failed.
  'poll-answered': { status: 'number' },
  'poll-sign-in-refused': { status: 'number' },
  'poll-redirected': { status: 'number' },
  'poll-too-slow': { seconds: 'number' },
  'poll-asked-to-wait': { status: 'number' },
  'poll-too-large': { most: 'number' },
  'poll-next-elsewhere': { host: 'text' },
  'poll-next-unusable': { given: 'text' },
  'poll-pages-repeat': {},
  'poll-too-many-pages': { most: 'number' },
  'poll-token-unusable': {},
  'poll-token-not-given': { why: 'message' },
  'poll-unreadable': { why: 'message' },
  'poll-broken': {},

  // What a source cannot be.
  'source-field-needed': { kind: 'text' },
  'source-field-unused': { kind: 'text' },
  'source-kind-fixed': { given: 'text', kind: 'text' },
  'source-secret-again': {},
  'source-secret-not-sendable': {},
  'source-user-name-colon': {},
  'source-faults-only-iso': {},
  'source-not-pushed': { kind: 'text' },
  'source-not-polled': {},
  'source-paused': {},
  'source-of-other-token': {},
  'source-media-type': {},
  'source-vehicle-needed': {},
  'too-many-sources': { present: 'number', limit: 'number' },
});
