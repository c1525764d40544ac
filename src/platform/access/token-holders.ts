import pg from 'pg';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import type { Language } from '../words/languages.js';
import { Batcher } from '../concurrency/batcher.js';
import type { Role } from '../scope/roles.js';

export interface TokenHolder {
  fleet_id: string;
  token_id: string;
  role: Role;
  depot_ids: string[] | null;
  time_zone: string;
  units: UnitSystem;
  /** The token's own language, else that of its person, else the fleet's. */
  language: Language;
  expires_at: Date | null;
  /** Whose token it is; null for nobody in particular. */
  person_id: string | null;
  person_name: string | null;
  /** The session, if it was asked for by its cookie; null for a token. */
  session_id: string | null;
  /** Whether this use has extended the session. */
  is_extended: boolean;
  /** The fleet's change number. ETags of lists are made from it. */
  change_number: number;
}

interface Ask {
  hash: Buffer;
  at: Date;
}

const HOLDERS = `select h.hash, h.fleet_id, h.token_id, h.role, h.depot_ids, h.time_zone, h.units, h.language, h.expires_at,
    h.change_number::float8 as change_number, h.person_id, h.person_name,
    h.session_id, h.is_extended
  from token_holders($1::bytea[], $2) h`;

/** Runs a statement, however it is connected. */
type Run = (text: string, values: unknown[]) => Promise<(TokenHolder & { hash: Buffer })[]>;

/** Finds the holders of tokens and sessions, of all fleets. Those that are not valid are left out. */
export function holdersOf(run: Run, hashes: Buffer[], at: Date): ReturnType<Run> {
  return run(HOLDERS, [hashes, at]);
}

const keyOf = (hash: Buffer): string => hash.toString('latin1');

/**
 * Asks one batch at a time. A question that arrives meanwhile waits for half a batch on average,
 * and then shares the next one.
 */
const QUESTIONS = { concurrency: 1, size: 100 };

/**
 * Finds who holds a token. Calls a database function that can see all fleets, and batches the
 * tokens that are asked for at about the same time.
 */
export class TokenHolders {
  private readonly pool: pg.Pool;
  private readonly questions = new Batcher<Ask, TokenHolder | null>((asks) => this.answer(asks), QUESTIONS);

  /**
   * Uses its own connection pool: the fleet is not known yet, and the service's connections would
   * have to switch their scope back and forth.
   */
  constructor(databaseUrl: string) {
    this.pool = new pg.Pool({
      connectionString: databaseUrl,
      max: QUESTIONS.concurrency,
      keepAlive: true,
      connectionTimeoutMillis: 5_000,
      statement_timeout: 60_000,
      application_name: 'weephole tokens',
      options: '-c role=weephole_app -c timezone=UTC',
    });
    // A connection that breaks while idle is replaced when the next one is needed.
    this.pool.on('error', () => undefined);
  }

  close(): Promise<void> {
    return this.pool.end();
  }

  /**
   * Finds the holder of a token. The answer is never older than the question.
   *
   * @param at the current time, stored as the time of the token's last use
   */
  find(hash: Buffer, at: Date): Promise<TokenHolder | null> {
    return this.questions.ask({ hash, at });
  }

  private async answer(asks: Ask[]): Promise<(TokenHolder | null)[]> {
    // Dashboards that share a token need only one look-up.
    const keys = asks.map(({ hash }) => keyOf(hash));
    const hashes = new Map(asks.map(({ hash }, index) => [keys[index] as string, hash]));
    const { rows } = await this.pool.query<TokenHolder & { hash: Buffer }>({
      name: 'token_holders',
      text: HOLDERS,
      values: [[...hashes.values()], asks.at(-1)?.at],
    });
    const found = new Map(rows.map(({ hash, ...holder }) => [keyOf(hash), holder]));
    return keys.map((key) => found.get(key) ?? null);
  }
}
