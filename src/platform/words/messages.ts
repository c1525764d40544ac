import { messages } from '../../domain/message.js';

export const message = messages({
  'quantity-less-than': { amount: 'text' },
  'not-known': {},

  // Headings of mails and job cards.
  'heading-at-once': {},
  'heading-due-list': {},
  'heading-cautions': {},

  // Terms: the kinds of readings and of loss alerts.
  'reading-hold-test': {},
  'reading-freeze-point': {},
  'reading-torque-set': {},
  'reading-fill': {},
  'reading-warm-up-check': {},
  'reading-belt-check': {},
  'reading-belt-tension': {},
  'reading-tensioner-check': {},
  'reading-conductivity': {},
  'reading-level-check': {},
  'reading-top-up': {},
  'reading-coolant-condition': {},
  'reading-cap-test': {},
  'reading-combustion-gas-test': {},
  'reading-road-test': {},
  'hold-test-by-method': { method: ['vacuum', 'pressure'] },
  'alert-repeat-top-ups': {},
  'alert-rising-loss': {},
  'alert-unrecorded-water': {},
  'alert-weakening-hold': {},
  'alert-early-return': {},
  'alert-part-cohort': {},

  // Why a record was voided.
  'voided-as-typed': { reason: 'text' },
  'voided-superseded': { by: 'text' },
  'voided-import-undone': {},
  'voided-past-retention': { months: 'number' },
  'voided-fleet-deleted': {},
});
