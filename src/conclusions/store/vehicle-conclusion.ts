import { v7 as uuidv7 } from 'uuid';
import type { Derived } from '../../domain/conclusions/derive.js';
import { lineIdentity, type StoredLine } from '../../domain/conclusions/stored-line.js';
import type { VehicleHistory } from '../../domain/conclusions/vehicle-history.js';
import type { FoundAlert } from './alerts.writes.js';

/** The conclusions from the facts of one vehicle, with the ids under which they are stored. */
export interface VehicleConclusion extends Omit<Derived, 'lines' | 'alerts'> {
  history: VehicleHistory;
  lines: StoredLine[];
  alerts: FoundAlert[];
}

/** Gives lines and alerts the ids of their stored rows. New ones get new ids. */
export function withIds(history: VehicleHistory, derived: Derived): VehicleConclusion {
  const lineIds = new Map(history.lines.map((line) => [lineIdentity(line), line.id]));
  const alertIds = new Map(history.alerts.map((alert) => [alert.key, alert.id]));
  return {
    ...derived,
    history,
    lines: derived.lines.map((line) => ({ ...line, id: lineIds.get(lineIdentity(line)) ?? uuidv7() })),
    alerts: derived.alerts.map((episode) => ({
      id: alertIds.get(episode.key) ?? uuidv7(),
      vehicleId: history.vehicleId,
      episode,
    })),
  };
}
