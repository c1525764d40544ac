import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import {
  depotNames,
  type DueListRequest,
  dueListStatement,
} from '../../conclusions/due-list/due-list.queries.js';
import { runStatement } from '../../platform/database/statement.js';
import { DueListService } from '../../conclusions/due-list/due-list.service.js';
import { visitStands } from '../../conclusions/due-list/visit-stands.sql.js';
import { Fleet } from '../../entities/fleet.entity.js';
import { currentReader, fleetScope } from '../../platform/scope/fleet-scope.js';
import { dateInWords } from '../../platform/words/dates.js';
import type { Language } from '../../platform/words/languages.js';
import { textOf } from '../../platform/words/render.js';
import { CALENDAR_STATES, type CalendarFeedQuery } from './calendar-feed.dto.js';
import { standingVisits } from './calendar-feed.queries.js';
import { type CalendarLine, eventOf } from './due-line-event.js';
import { contentLines, text } from './icalendar.js';
import { message } from './messages.js';
import { visitEventOf } from './visit-event.js';

/**
 * Maximum number of events, more than a calendar can usefully show. Keeps those that are due first;
 * the calendar then says that there are more.
 */
export const MOST_EVENTS = 5000;
const ROWS_AT_A_TIME = 500;
/** How many of these may be visits. */
const MOST_VISITS = 1000;

const COLUMNS = [
  ...[
    'id',
    'unit_number',
    'depot_id',
    'component',
    'action',
    'item',
    'named_circuit',
    'window_opens_on',
    'due_on',
    'late_on',
  ],
  ...[
    'trigger',
    'last_done_on',
    'last_done_report_id',
    'postponed_until',
    'calendar_sequence',
    'revised_at',
    'is_at_once',
    'is_starter',
  ],
]
  .map(
    (name) => `l.${name} as "${name.replaceAll(/_([a-z])/g, (_, letter: string) => letter.toUpperCase())}"`,
  )
  .concat(`case when ${visitStands()} then l.visit_on end as "visitOn"`)
  .join(', ');

@Injectable()
export class CalendarFeedService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly dueList: DueListService,
  ) {}

  /**
   * Reads the feed from one snapshot, although it takes several statements. A line that moves
   * meanwhile is neither missed nor shown twice. The feed is in the language of its token, else of
   * the fleet.
   */
  async read({ state, token: _token, ...filters }: CalendarFeedQuery): Promise<string> {
    const { language } = currentReader();
    const wanted = new Set(state?.split(',') ?? CALENDAR_STATES);
    const request = {
      asOf: this.dueList.today(),
      states: new Set(CALENDAR_STATES.filter((one) => wanted.has(one))),
      // A line without a due date belongs to no day.
      filters: await this.dueList.lineFilters({ ...filters, dueBefore: filters.dueBefore ?? 'infinity' }),
      limit: ROWS_AT_A_TIME,
    };
    return this.dataSource.transaction('REPEATABLE READ', async (tx) => {
      const { fleetId } = fleetScope();
      const { name } = await tx.findOneByOrFail(Fleet, { id: fleetId });
      const visits = await standingVisits(tx, fleetId, request.filters, MOST_VISITS);
      const places = await namesOfDepots(tx, fleetId, visits);
      const events = visits.map((visit) =>
        contentLines(visitEventOf(visit, places.get(visit.depotId), language)),
      );
      let count = visits.length;
      let endedOn: string | null = null;
      for await (const lines of pagesOf(tx, fleetId, request)) {
        const room = lines.slice(0, MOST_EVENTS - count);
        const depots = await namesOfDepots(tx, fleetId, room);
        for (const line of room) events.push(contentLines(eventOf(line, depots.get(line.depotId), language)));
        count += room.length;
        if (room.length < lines.length) {
          endedOn = lines[room.length]?.dueOn ?? null;
          break;
        }
      }
      return (
        contentLines(opening(name, endedOn, language)) + events.join('') + contentLines(['END:VCALENDAR'])
      );
    });
  }
}

async function* pagesOf(
  tx: EntityManager,
  fleetId: string,
  request: Omit<DueListRequest, 'after'>,
): AsyncGenerator<CalendarLine[]> {
  for (let after: DueListRequest['after'] = null; ;) {
    const statement = dueListStatement(fleetId, { ...request, after }, COLUMNS);
    const lines: CalendarLine[] = await runStatement<CalendarLine[]>(tx, statement);
    yield lines;
    const last = lines.at(-1);
    if (last === undefined || lines.length < ROWS_AT_A_TIME) return;
    after = { isAtOnce: last.isAtOnce, dueOn: last.dueOn, id: last.id };
  }
}

/** The names of the depots of lines or visits, by depot id. */
async function namesOfDepots(
  tx: EntityManager,
  fleetId: string,
  lines: { depotId: string | null }[],
): Promise<Map<string | null, string>> {
  const ids = [...new Set(lines.flatMap(({ depotId }) => depotId ?? []))];
  return ids.length === 0 ? new Map() : depotNames(tx, fleetId, ids);
}

/**
 * The first lines of the calendar. Some properties appear twice: as in RFC 7986, and as calendars
 * knew them before it.
 */
function opening(fleet: string, endedOn: string | null, language: Language): string[] {
  const reader = { language, units: null };
  const name = textOf(message('calendar-name', { fleet }), reader);
  const about =
    endedOn === null
      ? message('calendar-about')
      : message('calendar-about-first', { count: MOST_EVENTS, date: dateInWords(endedOn, language) });
  return [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    `PRODID:-//Weephole//Due list//${language.toUpperCase()}`,
    'CALSCALE:GREGORIAN',
    text('NAME', name),
    text('X-WR-CALNAME', name),
    text('DESCRIPTION', textOf(about, reader)),
    text('X-WR-CALDESC', textOf(about, reader)),
    'REFRESH-INTERVAL;VALUE=DURATION:PT1H',
    'X-PUBLISHED-TTL:PT1H',
  ];
}
