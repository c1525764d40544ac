import { messages } from '../../../../../src/domain/message.js';

export const message = messages({
  'page-state-late': {},
  'page-state-due': {},
  'page-state-window': {},
  'page-state-not-due': {},
  'page-state-no-baseline': {},
  'page-state-at-once': { state: 'text' },
  'page-no-date': {},
  'page-window-from': { on: 'text' },
  'page-late-from': { on: 'text' },
  'page-due-between': { earliest: 'text', latest: 'text' },
  'page-strip-without-date': {},
  'page-legend': {},
  'page-legend-late': {},
  'page-legend-due': {},
  'page-legend-window': {},
  'page-legend-not-due': {},
  'page-legend-no-baseline': {},
  'page-legend-strip': {},
});
