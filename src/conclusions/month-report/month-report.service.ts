import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { addMonths } from '../../domain/calendar/civil-date.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import { message } from './messages.js';
import type { DoneFigures, MonthReportView } from './month-report.dto.js';
import { type DoneRow, doneRows } from './month-report.queries.js';

const TREND_MONTHS = 12;
const monthOf = (day: string): string => day.slice(0, 7);

const NOTHING = { done: 0, early: 0, inWindow: 0, inGrace: 0, late: 0, medianDaysAfterDue: null };

@Injectable()
export class MonthReportService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  /** @param of any day of the month */
  async get(of: string | undefined): Promise<MonthReportView> {
    const { fleetId, timeZone } = fleetScope();
    const first = `${monthOf(of ?? civilDateAt(this.clock.now().getTime(), timeZone))}-01`;
    const months = Array.from({ length: TREND_MONTHS }, (_, n) => addMonths(first, n - TREND_MONTHS + 1));
    const rows = await doneRows(this.dataSource.manager, fleetId, months[0] ?? first, addMonths(first, 1));
    const group = (by: DoneRow['by']) =>
      rows
        .filter((row) => row.by === by && row.month === first)
        .map((row) => ({ key: row.key, name: row.name, ...figuresOf(row) }));
    const inMonth = (month: string) =>
      figuresOf(rows.find((row) => row.by === 'month' && row.month === month) ?? NOTHING);
    return {
      month: monthOf(first),
      total: inMonth(first),
      ...{ depots: group('depot'), components: group('component'), duties: group('duty') },
      trend: months.map((month) => ({ month: monthOf(month), ...inMonth(month) })),
      definitions: {
        done: shownMessage(message('month-done')),
        inWindow: shownMessage(message('month-in-window')),
        inGrace: shownMessage(message('month-in-grace')),
        late: shownMessage(message('month-late')),
        medianDaysAfterDue: shownMessage(message('month-median-days')),
        groups: shownMessage(message('month-groups')),
      },
    };
  }
}

type Counted = Pick<DoneRow, 'done' | 'early' | 'inWindow' | 'inGrace' | 'late' | 'medianDaysAfterDue'>;

function figuresOf({ done, early, inWindow, inGrace, late, medianDaysAfterDue }: Counted): DoneFigures {
  const share = (count: number): number | null => (done === 0 ? null : count / done);
  return {
    ...{ done, early, inWindow, inGrace, late },
    ...{ shareInWindow: share(inWindow), shareInGrace: share(inGrace), medianDaysAfterDue },
  };
}
