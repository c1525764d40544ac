import { LOSS_DEFAULTS } from '../domain/loss/facts/settings.js';
import type { LossAlertEpisode } from '../domain/loss/facts/types.js';
import { watchVehicle } from '../domain/loss/alerts/watch-vehicle.js';
import type { VehicleHistory } from './history.js';
import { type BeforeWindow, vehicleFacts } from './loss-facts.js';

/** What the loss watch finds in a vehicle's history up to an instant. */
export function concludeAlerts(
  history: VehicleHistory,
  beforeWindow: BeforeWindow,
  asOf: number,
): LossAlertEpisode[] {
  if (history.readings === null) return [];
  return watchVehicle(vehicleFacts(history, beforeWindow), LOSS_DEFAULTS, new Date(asOf).toISOString());
}
