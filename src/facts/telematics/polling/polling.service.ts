import { Injectable, Logger } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import type { Message } from '../../../domain/message.js';
import type { TelematicsSource } from '../../../entities/telematics-source.entity.js';
import { Clock } from '../../../platform/clock/clock.js';
import { Config } from '../../../platform/config/config.js';
import { Transactions } from '../../../platform/database/transactions.js';
import { workForFleet } from '../../../register/fleets/fleet-work.js';
import type { SourcePage } from '../documents/machine-report.js';
import { message } from '../messages.js';
import { added, type Counts, emptyIntake } from '../taking/intake.js';
import { TakingService } from '../taking/taking.service.js';
import { beginPoll, endPoll, renewLease } from './polling.queries.js';
import { PollFailure } from './poll-failure.js';
import { faultsAddress, machinesToAsk, markAsked } from './fault-series.js';
import { acceptedBy, firstAddress, nextAddress, readFaults, readPage } from './read-page.js';
import { SignedInClient } from './signed-in.js';
import { backOffMs, nextPollMs, usedUpMs } from './waiting.js';

/** Pages of one poll, one after the other. */
const MOST_PAGES = 1000;
/** A poll that takes longer than this many answers may take stops, and goes on a little later. */
const MOST_TIMEOUTS = 20;
/** Pages of one machine's fault codes. */
const MOST_FAULT_PAGES = 10;
/** How many machines of a page are taken in one transaction. */
const AT_A_TIME = 500;
/** A poll that has stopped before its end goes on after this long. */
const GO_ON_AFTER_MS = 5_000;
/** Where the server does not tell its clock, what it got this long before is asked for again. */
const OVERLAP_MS = 5 * 60_000;
/** Beyond the time for one answer, how long the work between two answers may take. */
const LEASE_MARGIN_MS = 60_000;

/** A poll under way. */
interface Poll {
  source: TelematicsSource;
  begunAt: Date;
  /** When the lease ends. It is also what tells this poll from another. */
  until: Date;
  /** By the machine's monotonic clock. */
  stopAt: number;
  intake: ReturnType<typeof emptyIntake>;
  newestAt: Date | null;
  /** When the server got the first request, by its own clock; null where it does not tell. */
  serverAt: number | null;
}

/** How far a poll came: where it goes on and when; null when it has read everything. */
type Rest = { at: URL; waitMs: number } | null;

/** The lease was lost: the source was removed, or another worker polls it. */
class LeaseLost extends Error {
  override readonly name = 'LeaseLost';
}

/** Polls telematics sources, each under a lease. */
@Injectable()
export class PollingService {
  private readonly logger = new Logger('sources');

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly client: SignedInClient,
    private readonly taking: TakingService,
    private readonly clock: Clock,
    private readonly config: Config,
  ) {}

  /** Polls a source, if its time has come and nobody else does. */
  async poll(fleetId: string, sourceId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async () => {
      const now = this.clock.now();
      const until = this.leaseFrom(now);
      const source = await beginPoll(this.dataSource.manager, fleetId, sourceId, now, until);
      if (source === null) return;
      const poll: Poll = {
        ...{ source, begunAt: now, until, intake: emptyIntake(now), newestAt: null, serverAt: null },
        stopAt: performance.now() + MOST_TIMEOUTS * this.config.pollTimeoutMs,
      };
      await this.run(poll);
    });
  }

  private leaseFrom(now: Date): Date {
    return new Date(now.getTime() + this.config.pollTimeoutMs * 2 + LEASE_MARGIN_MS);
  }

  private async run(poll: Poll): Promise<void> {
    const { source } = poll;
    let at: URL | null = null;
    try {
      at = firstAddress(source, poll.begunAt);
      const rest = await this.readFrom(poll, at, (next) => (at = next));
      if (rest === null && source.withFaults) await this.askFaults(poll);
      const now = this.clock.now();
      const waitMs = rest?.waitMs ?? nextPollMs(source.everyMinutes ?? 60, Math.random());
      await this.end(poll, now, waitMs, rest?.at ?? null, null);
    } catch (error) {
      if (error instanceof LeaseLost) return;
      if (!(error instanceof PollFailure))
        this.logger.error(`polling ${source.id} failed: ${stackOf(error)}`);
      const known = error instanceof PollFailure ? error : new PollFailure(message('poll-broken'));
      const { waitMs = null, isLinkAtFault = false } = known.about;
      // Pages that have been taken need not be asked for again, unless their own links are at
      // fault.
      const hasBegun = poll.intake.pages > 0 || source.resumeAt !== null;
      const resumeAt = hasBegun && !isLinkAtFault ? at : null;
      const backOff = backOffMs(source.failures + 1, waitMs, Math.random());
      await this.end(poll, this.clock.now(), backOff, resumeAt, known.why);
    }
  }

  /** Takes page after page, until there are no more or it is time to stop. */
  private async readFrom(poll: Poll, first: URL, movedTo: (next: URL) => void): Promise<Rest> {
    const { source } = poll;
    const asked = new Set<string>();
    for (let at = first; ;) {
      if (asked.has(at.href)) throw new PollFailure(message('poll-pages-repeat'), { isLinkAtFault: true });
      if (asked.size >= MOST_PAGES)
        throw new PollFailure(message('poll-too-many-pages', { most: MOST_PAGES }), { isLinkAtFault: true });
      asked.add(at.href);
      const answer = await this.client.ask(source, at, acceptedBy(source.kind));
      const page = await readPage(source.kind, at, answer);
      if (asked.size === 1) poll.serverAt = page.serverAt;
      await this.take(poll, page);
      const next = nextAddress(at, page.next);
      if (next === null) return null;
      movedTo(next);
      const waitMs = usedUpMs(answer.headers, this.clock.now());
      if (waitMs > 0) return { at: next, waitMs };
      if (performance.now() > poll.stopAt) return { at: next, waitMs: GO_ON_AFTER_MS };
      at = next;
    }
  }

  /** Asks for the fault codes of some machines, those that were not asked about for longest. */
  private async askFaults(poll: Poll): Promise<void> {
    const { source, begunAt } = poll;
    const { manager } = this.dataSource;
    for (const machine of await machinesToAsk(manager, source.fleetId, source.id)) {
      let at: URL | null = faultsAddress(source.address ?? '', machine, begunAt);
      for (let pages = 0; at !== null && pages < MOST_FAULT_PAGES; pages += 1) {
        const answer = await this.client.ask(source, at, acceptedBy(source.kind)).catch(nothingKnown);
        if (answer === null) break;
        const { report, next } = await readFaults(machine, answer);
        await this.take(poll, { machines: [report], next: null, refused: [] }, { pages: 0, machines: 0 });
        at = nextAddress(at, next);
      }
      await markAsked(manager, source.fleetId, machine.id, begunAt);
      if (performance.now() > poll.stopAt) return;
    }
  }

  /** Takes a page, some machines at a time, so that no transaction is long. */
  private async take(poll: Poll, page: SourcePage, counted: Partial<Counts> = {}): Promise<void> {
    const { fleetId, id } = poll.source;
    for (let from = 0; from === 0 || from < page.machines.length; from += AT_A_TIME) {
      const part = {
        ...page,
        machines: page.machines.slice(from, from + AT_A_TIME),
        refused: from === 0 ? page.refused : [],
      };
      const renewed = this.leaseFrom(this.clock.now());
      const { counts, newestAt } = await this.transactions.write(
        async (tx) => {
          if (!(await renewLease(tx, fleetId, id, poll.until, renewed))) throw new LeaseLost();
          return this.taking.take(tx, id, part);
        },
        200,
        'once',
      );
      poll.until = renewed;
      poll.intake = added(poll.intake, { ...counts, pages: from === 0 ? 1 : 0, ...counted });
      if (newestAt !== null && (poll.newestAt === null || newestAt > poll.newestAt)) poll.newestAt = newestAt;
    }
  }

  private async end(
    { source, begunAt, until, intake, newestAt, serverAt }: Poll,
    now: Date,
    waitMs: number,
    rest: URL | null,
    failure: Message | null,
  ): Promise<void> {
    const isComplete = failure === null && rest === null;
    await endPoll(this.dataSource.manager, source.fleetId, source.id, until, {
      ...{ failure, intake, newestAt, now },
      nextPollAt: new Date(now.getTime() + waitMs),
      resumeAt: rest?.href ?? null,
      // A server whose clock is ahead would leave a gap.
      completeSince: isComplete
        ? new Date(Math.min(serverAt ?? begunAt.getTime() - OVERLAP_MS, begunAt.getTime()))
        : null,
    });
  }
}

/** A source that knows no faults of a machine may answer 404 (RFC 9110, 15.5.5). */
function nothingKnown(error: unknown): null {
  if (error instanceof PollFailure && error.about.status === 404) return null;
  throw error;
}

function stackOf(error: unknown): string {
  return error instanceof Error ? (error.stack ?? error.message) : String(error);
}
