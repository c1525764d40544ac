import { messages } from '../../../../../src/domain/message.js';

export const message = messages({
  'desk-alerts': {},
  'desk-alerts-none': {},
  'desk-alerts-filter': {},
  'desk-alerts-state': {},
  'desk-alerts-kind': {},
  'desk-alerts-all-kinds': {},
  'desk-alerts-state-open': {},
  'desk-alerts-state-raised': {},
  'desk-alerts-state-acknowledged': {},
  'desk-alerts-state-shelved': {},
  'desk-alerts-state-cleared': {},
  'desk-alerts-raised-since': { on: 'text' },
  'desk-alerts-returned': {},
  'desk-alerts-withdrawn': {},
  'desk-alerts-comes-back': { at: 'text' },
  'desk-alerts-of-fleet': { count: 'number' },
  'desk-alerts-check-next': {},
  'desk-alerts-evidence': {},
  'desk-alerts-cautions': {},
  'desk-alerts-more': {},
});
