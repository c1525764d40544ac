import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { AccessToken } from '../../../entities/access-token.entity.js';
import { type Intake, TelematicsSource } from '../../../entities/telematics-source.entity.js';
import { Clock } from '../../../platform/clock/clock.js';
import { CsvBytes } from '../../../platform/csv/csv-bytes.js';
import { lockedRowOf } from '../../../platform/database/records.js';
import { Transactions } from '../../../platform/database/transactions.js';
import { conflict, Problem, unacceptable } from '../../../platform/problems/problem.js';
import { fleetScope } from '../../../platform/scope/fleet-scope.js';
import { type SourcePage, UnreadableDocument } from '../documents/machine-report.js';
import { readPushedCsv } from '../documents/pushed-csv.js';
import { readPushedJson } from '../documents/pushed-json.js';
import { message } from '../messages.js';
import { intakeView } from '../sources/source-columns.js';
import type { IntakeView } from '../sources/telematics-source.dto.js';
import { added, emptyIntake } from '../taking/intake.js';
import { TakingService } from '../taking/taking.service.js';

/** How many machines are taken at a time; the event loop gets a turn in between. */
const AT_A_TIME = 500;

/** Takes reports that sources post by themselves. */
@Injectable()
export class ReportsService {
  constructor(
    private readonly transactions: Transactions,
    private readonly taking: TakingService,
    private readonly clock: Clock,
  ) {}

  /** Takes a post as a whole: all that can be taken of it, and says what cannot. */
  async take(sourceId: string, body: unknown): Promise<IntakeView> {
    const page = await pageIn(body);
    return this.transactions.write(
      async (tx) => {
        const source = await lockedRowOf(tx, TelematicsSource, sourceId, 'telematics source');
        await assertMayPost(tx, source);
        return intakeView(await this.takePage(tx, source, page));
      },
      200,
      'once',
    );
  }

  private async takePage(tx: EntityManager, source: TelematicsSource, page: SourcePage): Promise<Intake> {
    const { fleetId, id } = source;
    const now = this.clock.now();
    let intake = emptyIntake(now);
    let { newestAt } = source;
    for (let from = 0; from === 0 || from < page.machines.length; from += AT_A_TIME) {
      const machines = page.machines.slice(from, from + AT_A_TIME);
      const part = { ...page, machines, refused: from === 0 ? page.refused : [] };
      const taken = await this.taking.take(tx, id, part);
      intake = added(intake, { ...taken.counts, pages: from === 0 ? 1 : 0 });
      if (taken.newestAt !== null && (newestAt === null || taken.newestAt > newestAt))
        newestAt = taken.newestAt;
    }
    await tx.update(TelematicsSource, { fleetId, id }, { lastSuccessAt: now, newestAt, lastIntake: intake });
    return intake;
  }
}

/** @throws Problem 415 for no body, 422 for a body that cannot be read as a whole */
async function pageIn(body: unknown): Promise<SourcePage> {
  if (body === undefined) throw new Problem(415, 'media-type', message('source-media-type'));
  try {
    return await (body instanceof CsvBytes ? readPushedCsv(body.bytes) : readPushedJson(body));
  } catch (error) {
    if (!(error instanceof UnreadableDocument)) throw error;
    throw unacceptable([{ pointer: '', detail: error.why }]);
  }
}

/** @throws Problem 403 for a token of another source, 409 for a source that is polled or paused */
async function assertMayPost(
  tx: EntityManager,
  { fleetId, id, kind, pausedAt }: TelematicsSource,
): Promise<void> {
  const { role, tokenId } = fleetScope();
  if (role === 'telematics' && tokenId !== null) {
    const token = await tx.findOne(AccessToken, {
      select: { id: true, telematicsSourceId: true },
      where: { fleetId, id: tokenId },
    });
    const bound = token?.telematicsSourceId ?? null;
    if (bound !== null && bound !== id)
      throw new Problem(403, 'wrong-role', message('source-of-other-token'));
  }
  if (kind !== 'push') throw conflict('source-not-pushed', message('source-not-pushed', { kind }));
  if (pausedAt !== null) throw conflict('source-not-pushed', message('source-paused'));
}
