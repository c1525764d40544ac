import { messages } from '../message.js';

export const message = messages({
  'decision-at-once': { work: 'message' },
  'decision-late': { work: 'message', dueOn: 'text' },
  'decision-defect': { what: 'text' },
  'decision-loss-alert': { alert: 'message' },
  'decision-failed-report': { on: 'text', days: 'number' },
  'decision-held-reading': {},
  'decision-visit': { isMissed: ['yes', 'no'], on: 'text' },
});
