import { messages } from '../../domain/message.js';

export const message = messages({
  'defect-reported-ahead': { reportedAt: 'text', now: 'text' },
  'defect-without-vehicle': {},
  'defect-vehicle-unknown': { vehicle: 'text' },
  'defect-vehicles-differ': { unitNumber: 'text' },
  'defect-source-not-drivers': {},
  'defects-too-many': { present: 'number', most: 'number' },
  'defect-no-top-up': {},
  'defect-top-up-amount': {},
  'defect-top-up-counted': { readingId: 'text' },
  'defect-already-repaired': { jobReportId: 'text' },
  'defect-already-dismissed': { reason: 'text' },
  'defect-due-in-past': { dueOn: 'text', today: 'text' },
  'defect-due-too-late': { dueOn: 'text', months: 'number', latestOn: 'text' },
});
