import type { components } from '../../../../typescript/src/client.js';
import { type DueLine, workInWords } from '../../kit/due/due-line.js';
import { listInWords } from '../../kit/texts/lists.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';

export type Report = components['schemas']['JobReportView'];

export const VERDICTS = ['fail', 'inconclusive', 'pass'] as const;
export type Verdict = (typeof VERDICTS)[number];

/** The verdict of a reading or a report, in a word. */
export function verdictInWords(verdict: string | null): string {
  const known = VERDICTS.find((one) => one === verdict);
  return tell(message(`desk-verdict-${known ?? 'none'}`));
}

/** The shape beside the word. */
export const SHAPES = { fail: 'late', inconclusive: 'window', pass: 'not-due' } as const;

export const shapeOf = (verdict: string | null) =>
  SHAPES[VERDICTS.find((one) => one === verdict) ?? 'pass'] ?? 'not-due';

/** The work of a line of a report or of a follow-up. */
export const lineInWords = (line: Report['lines'][number] | Report['outcome']['followUps'][number]) =>
  workInWords(line as Pick<DueLine, 'component' | 'action' | 'item' | 'circuit'>);

/** All the work of a report. */
export const workOf = ({ lines }: Report): string => listInWords(lines.map(lineInWords));

type Voided = NonNullable<Report['voided']>;

/** Why something was voided, in the words of whoever did, or of the service. */
export const reasonInWords = ({ reason }: Voided): string =>
  typeof reason === 'string' ? reason : reason.text;
