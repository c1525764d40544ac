import { Injectable } from '@nestjs/common';
import { type Cell, csvLine } from '../../platform/csv/csv-text.js';
import type { Reader } from '../../platform/words/render.js';
import { toldTo } from '../../platform/words/shown-messages.js';
import { DEFINITIONS } from './definitions.js';
import type { MonthFigures } from './month-report.dto.js';
import { MonthReportService } from './month-report.service.js';

/** Counts only: a share of a few is worth nothing, and a spreadsheet divides by itself. */
const COLUMNS: readonly { name: string; of: (figures: MonthFigures) => Cell }[] = [
  { name: 'done', of: (one) => one.done },
  { name: 'early', of: (one) => one.early },
  { name: 'inWindow', of: (one) => one.inWindow },
  { name: 'inGrace', of: (one) => one.inGrace },
  { name: 'late', of: (one) => one.late },
  { name: 'medianDaysAfterDue', of: (one) => one.medianDaysAfterDue },
  { name: 'medianDaysLate', of: (one) => one.medianDaysLate },
  { name: 'worstDaysLate', of: (one) => one.worstDaysLate },
  { name: 'work', of: ({ repeatJobs }) => repeatJobs.work },
  { name: 'repeatJobs', of: ({ repeatJobs }) => repeatJobs.repeats },
  { name: 'failedReadings', of: ({ failedReadings }) => failedReadings.failed },
  { name: 'closed', of: ({ failedReadings }) => failedReadings.closed },
  { name: 'closedOtherwise', of: ({ failedReadings }) => failedReadings.closedOtherwise },
  { name: 'open', of: ({ failedReadings }) => failedReadings.open },
  { name: 'medianDaysOpen', of: ({ failedReadings }) => failedReadings.medianDaysOpen },
  { name: 'longestDaysOpen', of: ({ failedReadings }) => failedReadings.longestDaysOpen },
];

/** Writes the month as CSV: the total, its groups, the months before, and the definitions. */
@Injectable()
export class MonthReportCsvService {
  constructor(private readonly reports: MonthReportService) {}

  async *export(of: string | undefined, reader: Reader): AsyncGenerator<string> {
    const { month, total, depots, components, duties, trend } = await this.reports.get(of);
    const line = (at: string, by: string, key: string | null, name: string | null, figures: MonthFigures) =>
      csvLine([at, by, key, name, ...COLUMNS.map((column) => column.of(figures))]);
    yield csvLine(['month', 'by', 'key', 'name', ...COLUMNS.map(({ name }) => name)]);
    yield line(month, 'total', null, null, total);
    for (const [by, groups] of Object.entries({ depot: depots, component: components, duty: duties }))
      for (const group of groups) yield line(month, by, group.key, group.name, group);
    for (const earlier of trend.slice(0, -1)) yield line(earlier.month, 'total', null, null, earlier);
    const tell = toldTo(reader);
    const empty = COLUMNS.map(() => null);
    for (const [figure, told] of Object.entries(DEFINITIONS))
      yield csvLine([month, 'definition', figure, tell([told])[0]?.text ?? null, ...empty]);
  }
}
