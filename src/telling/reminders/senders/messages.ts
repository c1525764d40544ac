import { messages } from '../../../domain/message.js';

/** States of a due line: due or overdue in the usual way, or to be done at once. */
const STATE = ['window', 'due', 'late', 'now', 'latenow'] as const;
const FAILED = { unit: 'text', kind: 'message', at: 'text', why: 'text' } as const;

export const message = messages({
  // A digest.
  'mail-digest-subject': { total: 'number', atOnce: 'number', late: 'number' },
  'mail-heading-late': {},
  'mail-heading-due': {},
  'mail-heading-window': {},
  'mail-heading-alerts': {},
  'mail-heading-failed': {},
  'mail-heading-held': {},
  'mail-heading-more': {},
  'mail-more': { count: 'number' },

  // A due line.
  'mail-due-subject': { unit: 'text', work: 'message', state: STATE },
  'mail-due': { unit: 'text', work: 'message', state: STATE, points: 'text' },
  'mail-due-why': { causes: 'text' },
  'mail-due-common-practice': {},
  'mail-due-released': {},

  // A loss alert.
  'mail-alert': { unit: 'text', kind: 'message' },
  'mail-alert-vehicles': { count: 'number', kind: 'message' },
  'mail-alert-subject': { unit: 'text', kind: 'message' },
  'mail-alert-vehicles-subject': { count: 'number', kind: 'message' },
  'mail-heading-check-next': {},

  // A reading that failed, or is held.
  'mail-failed-subject': { unit: 'text', kind: 'message' },
  'mail-released-subject': { unit: 'text', warning: 'text' },
  'mail-heading-keep-parked': { unit: 'text' },
  'mail-heading-reading': { unit: 'text', kind: 'message', at: 'text' },
  'mail-failed': FAILED,
  'mail-failed-released': { ...FAILED, warning: 'text' },
  'mail-held-subject': { unit: 'text' },
  'mail-heading-one-held': {},
  'mail-held': { unit: 'text', counters: 'list', at: 'text', why: 'text' },

  // Other messages.
  'mail-trouble': {},
  'mail-trouble-target': { address: 'text' },
  'mail-test-subject': {},
  'mail-heading-test': {},
  'mail-foot': {},
});
