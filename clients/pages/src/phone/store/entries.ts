import type { components } from '../../../../typescript/src/client.js';
import type { Problem } from '../../../../typescript/src/client.js';
import type { Draft } from '../draft/draft.js';

export type JobReport = components['schemas']['JobReportInput'];
export type JobAnswer = components['schemas']['JobReportView'];

/** A finished report. It stays until the service has said that it has it. */
export interface OutboxEntry {
  id: string;
  who: string;
  unitNumber: string;
  finishedAt: string;
  report: JobReport;
  /** What it was made from, to repair it. */
  draft: Draft;
  /** `refused`: a person has to put it right. */
  state: 'waiting' | 'refused' | 'sent';
  /** Why the service refused it. */
  problem: Problem | null;
  /** What the service answered. */
  answer: JobAnswer | null;
  sentAt: string | null;
  /** Not sent before this, so that a slip of the finger can be taken back. */
  heldUntil: string | null;
}

/** A photo of a report. It goes when the service has it. */
export interface KeptPhoto {
  id: string;
  reportId: string;
  name: string;
  type: string;
  bytes: ArrayBuffer;
  problem: Problem | null;
}
