import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';

/** What changed about a vehicle. */
export interface VehicleChange {
  vehicleId: string;
  /** The earliest instant at which a usage reading came, went or changed standing; null when none did. */
  usageFrom: Date | null;
}

/** Which vehicles a wider change touches. */
export type Touched = { intervalPlanId: string } | { specSheetId: string } | { depotId: string } | 'all';

/** Draws the conclusions: due lines, usage summaries and loss alerts, from the facts that are recorded. */
@Injectable()
export class ConclusionsService {
  /** Refreshes what is concluded about some vehicles, in the transaction that changed the facts. */
  async refresh(_tx: EntityManager, _changes: VehicleChange[]): Promise<void> {}

  /** Refreshes every vehicle that a change to a plan, sheet, depot or the fleet itself touches. */
  async refreshTouched(_tx: EntityManager, _touched: Touched): Promise<void> {}
}
