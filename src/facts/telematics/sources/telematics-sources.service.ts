import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager, IsNull } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { AccessToken } from '../../../entities/access-token.entity.js';
import { TelematicsMachine, TelematicsSource } from '../../../entities/telematics-source.entity.js';
import { Clock } from '../../../platform/clock/clock.js';
import { Config } from '../../../platform/config/config.js';
import { listBy, lockedRowOf, type PageQuery, rowOf } from '../../../platform/database/records.js';
import { Transactions } from '../../../platform/database/transactions.js';
import { mergePatch } from '../../../platform/input/merge-patch.js';
import { validated } from '../../../platform/input/validation.pipe.js';
import { lockRoom, noRoom } from '../../../platform/limits/fleet-room.js';
import type { Page } from '../../../platform/pages/pages.js';
import { conflict, unacceptable } from '../../../platform/problems/problem.js';
import { WorkQueue } from '../../../platform/queue/work-queue.js';
import { assertUnchanged } from '../../../platform/resources/etags.js';
import { fleetScope } from '../../../platform/scope/fleet-scope.js';
import { message } from '../messages.js';
import { pollJob } from '../polling/poll-job.js';
import { movesSecret, sourceColumns, sourceFaults, sourceInput, sourceView } from './source-columns.js';
import { TelematicsSourceInput, type TelematicsSourceView } from './telematics-source.dto.js';

const WHAT = 'telematics source';

@Injectable()
export class TelematicsSourcesService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly queue: WorkQueue,
    private readonly clock: Clock,
    private readonly config: Config,
  ) {}

  list(query: PageQuery): Promise<Page<TelematicsSourceView>> {
    const now = this.clock.now();
    return listBy(
      this.dataSource.manager,
      TelematicsSource,
      'name',
      query,
      {},
      () => undefined,
      (source) => sourceView(source, now),
    );
  }

  async get(id: string): Promise<TelematicsSourceView> {
    return sourceView(await rowOf(this.dataSource.manager, TelematicsSource, id, WHAT), this.clock.now());
  }

  async create(input: TelematicsSourceInput): Promise<TelematicsSourceView> {
    this.assertUsable(input);
    const { fleetId } = fleetScope();
    const id = uuidv7();
    const shown = await this.transactions.write(async (tx) => {
      await this.assertRoom(tx, fleetId);
      const now = this.clock.now();
      const source = Object.assign(new TelematicsSource(), {
        ...{ fleetId, id, version: 1, createdAt: now, ...sourceColumns(input, null, now) },
        nextPollAt: input.kind === 'push' ? null : now,
        ...{ polledUntil: null, resumeAt: null, completeSince: null, failures: 0, failingSince: null },
        ...{ failure: null, lastSuccessAt: null, newestAt: null, lastIntake: null },
      });
      await tx.insert(TelematicsSource, source);
      return sourceView(source, now);
    });
    if (shown.kind !== 'push' && !shown.paused) await this.pollSoon(fleetId, shown.id);
    return shown;
  }

  async patch(id: string, patch: unknown, ifMatch: string | undefined): Promise<TelematicsSourceView> {
    const { fleetId } = fleetScope();
    return this.transactions.write(async (tx) => {
      const source = await lockedRowOf(tx, TelematicsSource, id, WHAT);
      assertUnchanged(ifMatch, source.version);
      const input = await validated(TelematicsSourceInput, mergePatch(sourceInput(source), patch));
      if (input.kind !== source.kind)
        throw unacceptable([
          {
            pointer: '/kind',
            detail: message('source-kind-fixed', { given: input.kind, kind: source.kind }),
          },
        ]);
      this.assertUsable(input);
      if (movesSecret(source, input, patch))
        throw unacceptable([{ pointer: '/signIn/secret', detail: message('source-secret-again') }]);
      const now = this.clock.now();
      const columns = sourceColumns(input, source.pausedAt, now);
      const isElsewhere = columns.address !== source.address;
      const changed = {
        ...columns,
        version: source.version + 1,
        // A poll under way has the old settings: it loses its lease, so that it cannot store where
        // it stopped. The next one would send the new secret there.
        polledUntil: null,
        // Old failures and places say nothing about new settings.
        ...{ failures: 0, nextPollAt: source.kind === 'push' ? null : now },
        ...(isElsewhere ? { resumeAt: null, completeSince: null } : {}),
      };
      await tx.update(TelematicsSource, { fleetId, id }, changed);
      return sourceView(Object.assign(source, changed), now);
    });
  }

  /** Removes a source with its machines. What it brought stays; its tokens are revoked. */
  async remove(id: string): Promise<void> {
    const { fleetId } = fleetScope();
    await this.transactions.write(async (tx) => {
      await lockedRowOf(tx, TelematicsSource, id, WHAT);
      const bound = { fleetId, telematicsSourceId: id, revokedAt: IsNull() };
      await tx.update(AccessToken, bound, { revokedAt: this.clock.now() });
      await tx.delete(TelematicsMachine, { fleetId, sourceId: id });
      await tx.delete(TelematicsSource, { fleetId, id });
    });
  }

  /**
   * Makes the source due now, or when the wait is over that it asked for. The worker polls it as
   * soon as it has room.
   */
  async pollNow(id: string): Promise<TelematicsSourceView> {
    const { fleetId } = fleetScope();
    const shown = await this.transactions.write(async (tx) => {
      const source = await lockedRowOf(tx, TelematicsSource, id, WHAT);
      if (source.kind === 'push') throw conflict('source-not-polled', message('source-not-polled'));
      if (source.pausedAt !== null) throw conflict('source-not-polled', message('source-paused'));
      const now = this.clock.now();
      const changed = { nextPollAt: dueSoonest(source, now) };
      await tx.update(TelematicsSource, { fleetId, id }, changed);
      return sourceView(Object.assign(source, changed), now);
    }, 200);
    await this.pollSoon(fleetId, id);
    return shown;
  }

  private async pollSoon(fleetId: string, sourceId: string): Promise<void> {
    await this.queue.add('sources', [pollJob({ fleetId, sourceId, turn: 1 })]);
  }

  /** @throws Problem 422 when a source cannot be as requested */
  private assertUsable(input: TelematicsSourceInput): void {
    const faults = sourceFaults(input, this.config.allowLocalWebhooks);
    if (faults.length > 0) throw unacceptable(faults);
  }

  /** @throws Problem 409 when the fleet has reached its maximum number of sources */
  private async assertRoom(tx: EntityManager, fleetId: string): Promise<void> {
    await lockRoom(tx, fleetId, 'telematics sources');
    const present = await tx.countBy(TelematicsSource, { fleetId });
    const limit = this.config.fleetLimits.telematicsSources;
    if (present >= limit)
      throw noRoom('too-many-sources', message('too-many-sources', { present, limit }), { limit, present });
  }
}

/** When a source may be polled at the earliest: not during a wait that it asked for. */
function dueSoonest({ failure, nextPollAt }: TelematicsSource, now: Date): Date {
  const isAskedToWait = failure?.code === 'poll-asked-to-wait';
  return isAskedToWait && nextPollAt !== null && nextPollAt > now ? nextPollAt : now;
}
