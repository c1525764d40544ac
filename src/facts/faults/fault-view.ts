import type { EntityManager } from 'typeorm';
import { type FaultEpisode, episodesOf } from '../../domain/faults/episodes.js';
import { faultCodeIn, faultCodeText } from '../../domain/faults/fault-code.js';
import { circuitOf, sourceOf } from '../../domain/faults/meanings.js';
import { toldMeaning } from '../../domain/faults/told-meaning.js';
import type { Message } from '../../domain/message.js';
import { Fault } from '../../entities/fault.entity.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { shownMessage, shownMessages } from '../../platform/words/shown-messages.js';
import type { FaultLineView, FaultView } from './fault.dto.js';
import { type SpanOfVehicle, spansOfCodes } from './faults.queries.js';

type Episode = FaultEpisode<SpanOfVehicle>;

/** The episodes of some codes of some vehicles, in time order, each with all of its rows. */
export async function episodesOfCodes(
  manager: EntityManager,
  codes: readonly Pick<Fault, 'vehicleId' | 'code'>[],
): Promise<{ episode: Episode; rows: SpanOfVehicle[] }[]> {
  const spans = await spansOfCodes(manager, fleetScope().fleetId, codes);
  const ofCode = new Map<string, SpanOfVehicle[]>();
  for (const span of spans) {
    const key = `${span.vehicleId} ${faultCodeText(span.code)}`;
    ofCode.set(key, [...(ofCode.get(key) ?? []), span]);
  }
  return [...ofCode.values()].flatMap((own) =>
    episodesOf(own).map((episode) => ({
      episode,
      rows: own.filter(
        ({ isActive, firstAt, lastAt }) => isActive && episode.firstAt <= firstAt && lastAt <= episode.lastAt,
      ),
    })),
  );
}

/**
 * Rows as they are shown: each with all of its episode, and the lines that are open because of it.
 */
export async function shownFaults(manager: EntityManager, heads: readonly Fault[]): Promise<FaultView[]> {
  if (heads.length === 0) return [];
  const found = await episodesOfCodes(manager, heads);
  const byRow = new Map(found.flatMap((one) => one.rows.map(({ id }) => [id, one] as const)));
  const vehicleIds = [...new Set(heads.map(({ vehicleId }) => vehicleId))];
  const units = await unitNumbers(manager, vehicleIds);
  const lines = await openLines(manager, vehicleIds);
  return heads.map((head) => {
    const { episode, rows } = byRow.get(head.id) ?? { episode: null, rows: [] };
    const ids = new Set(rows.map(({ id }) => id));
    const followUps = lines.filter(({ openedBy }) => openedBy.some((id) => ids.has(id)));
    return viewOf(head, units.get(head.vehicleId) ?? '', episode, rows, followUps.map(lineView));
  });
}

function viewOf(
  { id, vehicleId, code, spn, fmi, voidedAt, voidReason, ...head }: Fault,
  unitNumber: string,
  episode: Episode | null,
  rows: readonly SpanOfVehicle[],
  followUps: FaultLineView[],
): FaultView {
  const read = faultCodeIn(code);
  const [meaning, source] = [toldMeaning(read), sourceOf(read)];
  const instant = (at: number | null): string | null => (at === null ? null : new Date(at).toISOString());
  const state = voidedAt !== null ? 'voided' : episode?.goneAt == null ? 'active' : 'gone';
  return {
    ...{ id, vehicleId, unitNumber, code, spn, fmi },
    circuit: circuitOf(read),
    meaning: meaning && shownMessage(meaning),
    source: source && shownMessage(source),
    state,
    firstSeenAt: instant(episode?.firstAt ?? null) ?? head.firstAt.toISOString(),
    lastSeenAt: instant(episode?.lastAt ?? null) ?? head.lastAt.toISOString(),
    goneAt: instant(episode?.goneAt ?? null),
    occurrences: episode === null ? head.occurrences : episode.occurrences,
    reportedBy: rows.length === 0 ? [head.reportedBy] : [...new Set(rows.map((row) => row.reportedBy))],
    followUps,
    voidedAt: voidedAt?.toISOString() ?? null,
    voidReason,
  };
}

async function unitNumbers(manager: EntityManager, ids: readonly string[]): Promise<Map<string, string>> {
  const rows = await manager.query<{ id: string; unitNumber: string }[]>(
    'select id, unit_number as "unitNumber" from vehicles where fleet_id = $1 and id = any ($2)',
    [fleetScope().fleetId, ids],
  );
  return new Map(rows.map(({ id, unitNumber }) => [id, unitNumber]));
}

interface OpenLineRow {
  id: string;
  component: string;
  action: string;
  atOnce: boolean;
  dueOn: string | null;
  causes: Message[] | null;
  openedBy: string[];
}

function openLines(manager: EntityManager, vehicleIds: readonly string[]): Promise<OpenLineRow[]> {
  return manager.query<OpenLineRow[]>(
    `select id, component, action, is_at_once as "atOnce", nullif(due_on, 'infinity')::text as "dueOn", causes, opened_by as "openedBy"
     from due_lines where fleet_id = $1 and vehicle_id = any ($2) and is_open and origin = 'follow-up' and opened_by is not null
     order by is_at_once desc, due_on, id`,
    [fleetScope().fleetId, vehicleIds],
  );
}

const lineView = ({ id, component, action, atOnce, dueOn, causes }: OpenLineRow): FaultLineView => ({
  ...{ id, component, action, atOnce, dueOn },
  causes: shownMessages(causes ?? []),
});
