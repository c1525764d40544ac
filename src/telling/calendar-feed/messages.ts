import { messages } from '../../domain/message.js';

const WORK = { unit: 'text', work: 'message' } as const;
const WORK_OF_VISIT = { unit: 'text', work: 'list' } as const;

export const message = messages({
  'calendar-name': { fleet: 'text' },
  'calendar-about': {},
  'calendar-about-first': { count: 'number', date: 'text' },
  'calendar-work': { action: 'message', part: 'message' },

  // The event of a due line.
  'calendar-due': WORK,
  'calendar-due-alarm': WORK,
  'calendar-due-by': { by: ['distance', 'time', 'hours', 'none'] },
  'calendar-window-opens': { date: 'text' },
  'calendar-overdue-from': { date: 'text' },
  'calendar-postponed-until': { date: 'text' },
  'calendar-at-visit': { date: 'text' },
  'calendar-counted-from': { date: 'text' },
  'calendar-common-practice': {},

  // The event of a visit.
  'calendar-visit': WORK_OF_VISIT,
  'calendar-visit-alarm': WORK_OF_VISIT,
  'calendar-visit-work': {},
  'calendar-visit-common-practice': {},
  'calendar-category-visit': {},
});
