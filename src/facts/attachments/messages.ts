import { messages } from '../../domain/message.js';

const MOST = { most: 'number' } as const;
const AT_BYTE = { byte: 'number' } as const;

export const message = messages({
  'attachment-file-missing': {},
  'attachments-full': { size: 'text', present: 'text', limit: 'text' },
  'attachment-was-voided': { on: 'text', reason: 'message' },
  'attachment-voided-already': { reason: 'message' },
  'attachment-one-too-many': { most: 'number' },
  'attachment-range-outside': { bytes: 'number' },
  'attachment-too-large': { megabytes: 'number' },
  'attachment-empty': {},
  'attachment-type-unknown': {},
  'attachment-type-not-taken': { type: 'text' },
  'attachment-damaged': { type: 'text', why: 'message' },

  // Why a picture counts as damaged.
  'file-ends-early': {},
  'file-no-picture': {},
  'file-no-usable-head': {},
  'file-size-unreadable': {},
  'file-parts-too-long': {},
  'file-header-unreadable': {},
  'file-header-misplaced': {},
  'file-too-many-segments': MOST,
  'file-too-many-chunks': MOST,
  'file-too-much-fill': MOST,
  'file-segment-misplaced': AT_BYTE,
  'file-segment-without-length': AT_BYTE,
  'file-chunk-without-name': AT_BYTE,
  'file-byte-outside-segments': AT_BYTE,
  'file-restart-misplaced': AT_BYTE,

  'attachment-read-too-slowly': {},
  'attachment-uploads-full': { most: 'number', seconds: 'number' },
});
