import type { components } from '../../../../typescript/src/client.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';

export type SheetFile = components['schemas']['SpreadsheetView'];
export type Question = components['schemas']['QuestionView'];
export type SheetColumn = components['schemas']['SheetColumnView'];
export type SheetField = components['schemas']['SheetFieldView'];
export type Checked = components['schemas']['ImportAnswer'];
export type Taken = components['schemas']['ImportView'];
export type SheetKind = SheetFile['kind'];

/** The kinds, in the order in which they are taken. */
export const SHEET_KINDS: readonly SheetKind[] = ['vehicles', 'usage-readings', 'job-reports'];

/** A kind by the name that messages have for it. */
export const kindName = (kind: SheetKind) =>
  (({ vehicles: 'vehicles', 'usage-readings': 'usageReadings', 'job-reports': 'jobReports' }) as const)[kind];

export const kindInWords = (kind: SheetKind): string =>
  tell(message('desk-files-kind', { kind: kindName(kind) }));

export const nameOf = ({ fileName }: { fileName: string | null }): string =>
  fileName ?? tell(message('desk-files-no-name'));
