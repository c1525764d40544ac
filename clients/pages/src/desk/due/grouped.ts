import type { DueLine } from '../../kit/due/due-line.js';
import { dayInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import type { Grouping } from './filters.js';
import { message } from './messages.js';

export interface Group {
  key: string;
  /** Nothing where rows are not grouped. */
  name: string | null;
  lines: DueLine[];
}

/** Names by id, as far as they are known. */
export interface Names {
  depots: ReadonlyMap<string, string>;
  people: ReadonlyMap<string, string>;
}

const depotOf = ({ vehicle: { depotId } }: DueLine, { depots }: Names): string =>
  depotId === null ? tell(message('desk-due-no-depot')) : (depots.get(depotId) ?? '…');

/** The day of a visit, its vehicle and depot, and whose it is. */
function visitOf(line: DueLine, names: Names): string {
  const { visit, vehicle } = line;
  if (visit === null) return tell(message('desk-due-no-visit'));
  const who =
    visit.assignedTo === null
      ? tell(message('desk-due-visit-nobody'))
      : (names.people.get(visit.assignedTo) ?? tell(message('desk-due-visit-somebody')));
  const unit = vehicle.unitNumber;
  return tell(
    message('desk-due-visit', { on: dayInWords(visit.on), unit, depot: depotOf(line, names), who }),
  );
}

const KEY_AND_NAME: Record<
  Exclude<Grouping, 'none'>,
  (line: DueLine, names: Names) => [key: string, name: string]
> = {
  vehicle: ({ vehicle }) => [vehicle.id, vehicle.unitNumber],
  depot: (line, names) => [line.vehicle.depotId ?? '', depotOf(line, names)],
  visit: (line, names) => [line.visit?.id ?? '', visitOf(line, names)],
};

/** Visits by day; the lines that are on none come last. */
function byDay({ lines: [a] }: Group, { lines: [b] }: Group): number {
  const [one, other] = [a?.visit?.on ?? '9999', b?.visit?.on ?? '9999'];
  return one === other ? 0 : one < other ? -1 : 1;
}

/** The lines in groups. The group with the worst line is the first; visits are in order of days. */
export function grouped(lines: readonly DueLine[], by: Grouping, names: Names): Group[] {
  if (by === 'none') return [{ key: '', name: null, lines: [...lines] }];
  const groups = new Map<string, Group>();
  for (const line of lines) {
    const [key, name] = KEY_AND_NAME[by](line, names);
    const group = groups.get(key) ?? { key, name, lines: [] };
    group.lines.push(line);
    groups.set(key, group);
  }
  return by === 'visit' ? [...groups.values()].sort(byDay) : [...groups.values()];
}
