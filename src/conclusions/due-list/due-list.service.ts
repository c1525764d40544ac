import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { addDays } from '../../domain/calendar/civil-date.js';
import { civilDateAt, startOfDay } from '../../domain/calendar/zone.js';
import type { DueState } from '../../domain/intervals/types.js';
import { Clock } from '../../platform/clock/clock.js';
import { personAsked } from '../../platform/fields/assigned-to.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Showing } from '../../platform/presenting/measures.js';
import type { Telling } from '../../platform/words/shown-messages.js';
import { dueLineViews } from './due-line-view.js';
import type {
  DueLineFilters,
  DueListPage,
  DueListQuery,
  DueListSummary,
  StateCounts,
} from './due-list.dto.js';
import { DUE_STATES } from './due-states.js';
import { canBeKept, type CountRow, countRows, keepCounts, keptCountRows } from './due-line-counts.queries.js';
import { doneCounts, dueListRows, type LineFilters, STANDING, vehiclesLike } from './due-list.queries.js';
import { KEY, Keyset, type KeysetPage, oneOf } from '../../platform/pages/keyset.js';
import type { DueLineRow } from './due-line-row.js';

/**
 * Up to this number of matching vehicles are looked up first. When more match, nearly every line
 * that is read is a hit anyway.
 */
const FEW_VEHICLES = 200;

/** Work done on time is counted over this number of days, today included. */
const DONE_DAYS = 90;

/**
 * Lines that are due at once are listed first. A cursor stores which part of the list it is in, and
 * its day.
 */
const AT_ONCE = 'at-once';
const KEYSET = new Keyset('due-list', {
  asOf: KEY.date,
  part: oneOf(AT_ONCE, 'others'),
  dueOn: KEY.date,
  id: KEY.uuid,
});

/** The requested page, and the day it is read on. */
export interface PageRequest {
  asOf: string;
  page: KeysetPage<'asOf' | 'part' | 'dueOn' | 'id'>;
  states: DueState[];
  filters: DueLineFilters & { dueBefore?: string; assignedTo?: string };
}

@Injectable()
export class DueListService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  /** Today in the fleet's zone. */
  today(): string {
    return civilDateAt(this.clock.now().getTime(), fleetScope().timeZone);
  }

  /**
   * Reads the query of a request. A cursor keeps the day it was made on, so no line is skipped when
   * midnight falls between two pages.
   */
  read({ limit, cursor, state, sort: _sort, ...query }: DueListQuery, size?: number): PageRequest {
    const filters = { ...query, assignedTo: personAsked(query.assignedTo) };
    const wanted = new Set(state?.split(','));
    const states = state === undefined ? [...STANDING] : DUE_STATES.filter((one) => wanted.has(one));
    const page = KEYSET.page({ limit, cursor }, { states, ...filters }, size);
    return { asOf: page.after?.asOf ?? this.today(), page, states, filters };
  }

  async page(
    { asOf, page, states, filters }: PageRequest,
    show?: Showing,
    tell?: Telling,
  ): Promise<DueListPage> {
    const { fleetId, timeZone } = fleetScope();
    const rows = await dueListRows(this.dataSource.manager, fleetId, {
      asOf,
      states: new Set(states),
      filters: await this.lineFilters(filters),
      after: page.after && { ...page.after, isAtOnce: page.after.part === AT_ONCE },
      limit: page.rowsToRead,
    });
    const view = dueLineViews(this.instantOn(asOf, timeZone), timeZone, show, tell);
    const keysOf = ({ isAtOnce, dueOn, id }: DueLineRow) =>
      ({ asOf, part: isAtOnce ? AT_ONCE : 'others', dueOn, id }) as const;
    return {
      asOf,
      ...page.ofKeyed(rows, keysOf, view),
    };
  }

  async summary(asOf: string, query: DueLineFilters): Promise<DueListSummary> {
    const { fleetId } = fleetScope();
    const { manager } = this.dataSource;
    const filters = await this.lineFilters(query);
    const counted = await this.counts(asOf, filters);
    const span = { from: addDays(asOf, 1 - DONE_DAYS), to: asOf };
    const done = await doneCounts(manager, fleetId, span, filters);
    const by = (what: CountRow['by']): CountRow[] => counted.filter((row) => row.by === what);
    const groups = (rows: CountRow[], key: (row: CountRow) => string | null): [CountRow, StateCounts][] => {
      const grouped = new Map<string | null, CountRow[]>();
      for (const row of rows) grouped.set(key(row), [...(grouped.get(key(row)) ?? []), row]);
      return [...grouped.values()].flatMap((group) => (group[0] ? [[group[0], countsOf(group)]] : []));
    };
    return {
      asOf,
      states: countsOf(by('state')),
      components: groups(by('component'), (row) => row.component).map(([{ component }, states]) => ({
        component: component ?? '',
        states,
      })),
      depots: groups(by('depot'), (row) => row.depotId).map(([{ depotId, depotName }, states]) => ({
        depotId,
        name: depotName,
        states,
      })),
      done: { ...span, ...done },
    };
  }

  /**
   * Takes the stored counts if they can answer the question. Otherwise counts the lines, and stores
   * the counts for the next reader if the whole fleet is visible.
   */
  private async counts(asOf: string, filters: LineFilters): Promise<CountRow[]> {
    const { fleetId, depotIds = null } = fleetScope();
    const { manager } = this.dataSource;
    const kept = async (): Promise<CountRow[] | null> => keptCountRows(manager, fleetId, asOf, filters);
    if (canBeKept(filters)) {
      const found =
        (await kept()) ??
        (depotIds === null && (await keepCounts(manager, fleetId, asOf)) ? await kept() : null);
      if (found) return found;
    }
    return countRows(manager, fleetId, asOf, filters);
  }

  /**
   * Turns a part of a unit number into the ids of the matching vehicles or, when many match, into a
   * condition on the lines.
   */
  async lineFilters({ q, ...filters }: PageRequest['filters']): Promise<LineFilters> {
    if (q === undefined) return filters;
    const pattern = `%${q.trim().replaceAll(/[\\%_]/g, '\\$&')}%`;
    const { fleetId } = fleetScope();
    const vehicleIds = await vehiclesLike(this.dataSource.manager, fleetId, pattern, FEW_VEHICLES + 1);
    return vehicleIds.length > FEW_VEHICLES
      ? { ...filters, unitNumberLike: pattern }
      : { ...filters, vehicleIds };
  }

  /** Now, or the last moment of the day if that day is already over. */
  private instantOn(asOf: string, timeZone: string): Date {
    const now = this.clock.now();
    if (civilDateAt(now.getTime(), timeZone) <= asOf) return now;
    return new Date(startOfDay(addDays(asOf, 1), timeZone) - 1);
  }
}

function countsOf(rows: CountRow[]): StateCounts {
  const counts: StateCounts = { late: 0, due: 0, window: 0, 'not-due': 0, 'no-baseline': 0 };
  for (const { state, count } of rows) counts[state] += count;
  return counts;
}
