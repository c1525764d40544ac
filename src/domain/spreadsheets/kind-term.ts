import type { Message } from '../message.js';
import type { SheetKind } from './fields.js';
import { message } from './messages.js';

const KIND_TERMS = {
  vehicles: 'vehicles',
  'usage-readings': 'usageReadings',
  'job-reports': 'jobReports',
} as const;

/** What a kind of spreadsheet is called. */
export function kindTerm(kind: SheetKind): Message {
  return message('sheet-kind', { kind: KIND_TERMS[kind] });
}
