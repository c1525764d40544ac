import { Injectable } from '@nestjs/common';
import { Transactions } from '../../platform/database/transactions.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import type { UsageBatchResult, UsageResult } from './usage.dto.js';
import { readBatch, type UsageItem } from './usage-batch.js';
import { type TakenReading, UsageIntakeService } from './usage-intake.service.js';

/** Records batches of usage readings, as clients post them. */
@Injectable()
export class UsageRecordingService {
  constructor(
    private readonly transactions: Transactions,
    private readonly intake: UsageIntakeService,
  ) {}

  /**
   * Records a batch of readings. Stores every reading that can be stored, and returns a result for
   * each.
   */
  async post(body: unknown): Promise<UsageBatchResult> {
    const { items, rejected } = readBatch(body);
    return this.transactions.ofVehicle(onlyVehicle(items)).write(
      async (tx) => {
        const taken = await this.intake.take(tx, items);
        return summarise([
          ...taken.results.map(shownTaken),
          ...[...rejected, ...taken.unknown].map(({ index, reason, field, detail }): UsageResult => ({
            index,
            status: 'rejected',
            reason,
            pointer: `/readings/${index}${field}`,
            detail: shownMessage(detail),
          })),
        ]);
      },
      201,
      'once',
    );
  }
}

function shownTaken(taken: TakenReading): UsageResult {
  if (taken.status !== 'held') return taken;
  const { detail, ...result } = taken;
  return detail === null ? result : { ...result, detail: shownMessage(detail) };
}

/** The vehicle of a batch, as the batch names it. Null when there are several. */
function onlyVehicle(items: UsageItem[]): string | null {
  const [first] = items;
  const isOne = items.every(
    ({ vehicleId, unitNumber }) => vehicleId === first?.vehicleId && unitNumber === first.unitNumber,
  );
  return isOne ? (first?.vehicleId ?? first?.unitNumber ?? null) : null;
}

function summarise(results: UsageResult[]): UsageBatchResult {
  const ordered = results.sort((a, b) => a.index - b.index);
  const count = (status: UsageResult['status']) =>
    ordered.filter((result) => result.status === status).length;
  return {
    accepted: count('accepted'),
    duplicate: count('duplicate'),
    held: count('held'),
    rejected: count('rejected'),
    results: ordered,
  };
}
