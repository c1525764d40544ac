import { messages } from '../../domain/message.js';

/** How far a clock is off, such as "3 h 5 min", and in which direction. */
const CLOCK = { amount: 'text', side: ['ahead', 'behind'] } as const;

export const message = messages({
  'job-released-with-findings': {},
  'job-released-with': { finding: 'message' },
  'job-finding-settled': {},
  'job-device-clock': { ...CLOCK, sentAt: 'text', receivedAt: 'text' },
  'job-possible-duplicate': { jobReportId: 'text' },
  'job-vehicle-unknown': {},
  'job-supersedes-unknown': {},
  'job-performed-ahead': { performedAt: 'text', now: 'text', clock: ['known', 'unknown'], ...CLOCK },
  'job-nothing-done': {},
  'job-defect-unknown': {},
  'job-repair-without-name': {},
  'job-belt-missing': { belts: 'list' },
  'job-belt-unknown': { item: 'text', belts: 'list' },
  'job-already-voided': { reason: 'message' },
  'job-superseded-already': { byId: 'text' },
  'job-superseded-voided': { reason: 'message' },
  'job-superseded-not-own': {},
  'job-reports-to-before-from': { from: 'text', to: 'text' },
  'job-superseded-too-late': { receivedAt: 'text' },
});
