import { messages } from '../../domain/message.js';

export const message = messages({
  'postpone-until-missing': {},
  'postpone-until-and-usage': {},
  'postpone-usage-empty': {},
  'postpone-not-open': {},
  'postpone-no-baseline': {},
  'postpone-already-done': { until: 'text' },
  'postpone-no-due-date': {},
  'postpone-until-past': { until: 'text' },
  'postpone-until-not-later': { until: 'text', dueOn: 'text' },
  'postpone-until-too-late-at-once': { until: 'text', days: 'number', latestOn: 'text', why: 'message' },
  'postpone-until-too-late': { until: 'text', months: 'number', latestOn: 'text' },
  'postpone-usage-not-higher': {},
  'postpone-usage-not-reached': { limit: ['days', 'months'], count: 'number' },
  'postpone-usage-past': { on: 'text' },
  'postpone-not-postponed': {},
  'postpone-usage-not-later': { on: 'text', dueOn: 'text' },
});
