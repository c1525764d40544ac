import { messages } from '../../domain/message.js';
import { WEEKDAYS } from '../../domain/visits/working-days.js';

/** Dates are YYYY-MM-DD. */
export const message = messages({
  // Why a plan cannot be made.
  'plan-begins-in-past': { from: 'text', today: 'text' },
  'plan-too-long': { to: 'text', days: 'number', most: 'number', latest: 'text' },
  'plan-names-no-depot': {},
  'plan-too-many-waiting': { present: 'number', limit: 'number', seconds: 'number' },
  // What the state of the plan does not allow.
  'plan-is-past': { to: 'text' },
  'plan-confirmed-already': { at: 'text' },
  'plan-failed': { problem: 'message' },
  'plan-failed-unexplained': {},
  'plan-still-being-solved': {},
  'plan-nothing-to-confirm': {},
  'plan-nothing-confirmable': { reason: 'message' },
  'plan-hours-taken': { days: 'list', more: 'number' },
  'plan-hours-short': { day: 'text', depot: 'text', taken: 'number', limit: 'number' },
  // Why a plan failed, and why the solver stopped early.
  'plan-too-many-lines': { most: 'number', to: 'text' },
  'plan-given-up': { times: 'number' },
  'solver-time-over': {},
  'solver-stopped-at': { status: 'text' },
  'solver-overran': {},
  'solver-service-stopping': {},
  'solver-too-many-choices': {},
  'solver-found-nothing': {},
  'solver-broke-down': { report: 'text' },
  // Why a line is left for later.
  'visit-left-no-depot': {},
  'visit-left-depot-closed': {},
  'visit-left-other-visit': { on: 'text' },
  'visit-left-done-since': { on: 'text' },
  'visit-left-not-due': {},
  'visit-left-vehicle-moved': {},
  'visit-left-day-past': { day: 'text' },
  // Why a visit cannot be moved, pinned or dropped.
  'visit-day-outside-plan': { day: 'text', from: 'text', to: 'text' },
  'visit-day-past': { day: 'text', today: 'text' },
  'visit-day-not-worked': { day: 'text', weekday: WEEKDAYS, depot: 'text' },
  'visit-day-depot-closed': { day: 'text', depot: 'text' },
  'visit-day-before-window': { day: 'text', work: 'message', opens: 'text' },
  'visit-day-full': { day: 'text', depot: 'text', taken: 'number', limit: 'number', hours: 'number' },
  'visit-moved-is-pinned': {},
  'visit-moved-and-dropped': {},
  'visit-pinned-and-dropped': {},
});
