import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { addDays, addMonths } from '../../domain/calendar/civil-date.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { failedRows } from './failed-readings.queries.js';
import { type Counted, figuresOf, groupsIn } from './figures.js';
import type { By } from './grouping.sql.js';
import { definitions } from './definitions.js';
import type { FiguresOfGroup, MonthReportView } from './month-report.dto.js';
import { doneRows, type Months, repeatRows } from './month-report.queries.js';

const TREND_MONTHS = 12;
const monthOf = (day: string): string => day.slice(0, 7);

@Injectable()
export class MonthReportService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  /** @param of any day of the month */
  async get(of: string | undefined): Promise<MonthReportView> {
    const { fleetId, timeZone } = fleetScope();
    const today = civilDateAt(this.clock.now().getTime(), timeZone);
    const first = `${monthOf(of ?? today)}-01`;
    const months = Array.from({ length: TREND_MONTHS }, (_, n) => addMonths(first, n - TREND_MONTHS + 1));
    const until = addMonths(first, 1);
    const counted = await this.count({ fleetId, from: months[0] ?? first, until, timeZone, today });
    const group = (by: By): FiguresOfGroup[] =>
      groupsIn(counted, first, by).map(({ key, name, ...at }) => ({
        ...{ key, name },
        ...figuresOf(counted, { ...at, key }),
      }));
    const inMonth = (month: string) => figuresOf(counted, { month, by: 'month', key: null });
    const last = addDays(until, -1);
    return {
      month: monthOf(first),
      upTo: today < last ? today : last,
      total: inMonth(first),
      ...{ depots: group('depot'), components: group('component'), duties: group('duty') },
      trend: months.map((month) => ({ month: monthOf(month), ...inMonth(month) })),
      definitions: definitions(),
    };
  }

  private async count(months: Months): Promise<Counted> {
    const { manager } = this.dataSource;
    return {
      done: await doneRows(manager, months),
      repeats: await repeatRows(manager, months),
      failed: await failedRows(manager, months),
    };
  }
}
