import pg from 'pg';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { Gathering } from '../gathering.js';
import type { Role } from './roles.js';

export interface TokenHolder {
  fleet_id: string;
  token_id: string;
  role: Role;
  depot_ids: string[] | null;
  time_zone: string;
  units: UnitSystem;
  expires_at: Date | null;
  /** The fleet's, by which its lists are tagged. */
  change_number: number;
}

interface Ask {
  hash: Buffer;
  at: Date;
}

const HOLDERS = `select a.place::int as place, h.*, change_number_of(h.fleet_id)::float8 as change_number
  from unnest($1::bytea[]) with ordinality as a(hash, place) cross join lateral token_holder(a.hash, $2) h`;

const QUESTIONS = { underWay: 2, atOnce: 100 };

/** Finds who holds a token: a database function that sees all fleets' is asked, about all who ask at about the same time together. */
export class TokenHolders {
  private readonly pool: pg.Pool;
  private readonly questions = new Gathering<Ask, TokenHolder | null>((asks) => this.answer(asks), QUESTIONS);

  /** Connections of its own: who asks is in no fleet yet, and those of the service would be set back and forth. */
  constructor(databaseUrl: string) {
    this.pool = new pg.Pool({
      connectionString: databaseUrl,
      max: QUESTIONS.underWay,
      keepAlive: true,
      connectionTimeoutMillis: 5_000,
      statement_timeout: 60_000,
      application_name: 'weephole tokens',
      options: '-c role=weephole_app -c timezone=UTC',
    });
    // One that breaks while idle is replaced when it is next needed.
    this.pool.on('error', () => undefined);
  }

  close(): Promise<void> {
    return this.pool.end();
  }

  /**
   * The answer is always as of after the asking.
   *
   * @param at when it is, for noting that the token was used
   */
  find(hash: Buffer, at: Date): Promise<TokenHolder | null> {
    return this.questions.ask({ hash, at });
  }

  private async answer(asks: Ask[]): Promise<(TokenHolder | null)[]> {
    // Boards that share a token are looked up once.
    const keys = asks.map(({ hash }) => hash.toString('latin1'));
    const hashes = new Map(asks.map(({ hash }, index) => [keys[index] as string, hash]));
    const { rows } = await this.pool.query<TokenHolder & { place: number }>({
      name: 'token_holders',
      text: HOLDERS,
      values: [[...hashes.values()], asks.at(-1)?.at],
    });
    const byPlace = new Map(rows.map((holder) => [holder.place, holder]));
    const found = new Map([...hashes.keys()].map((key, index) => [key, byPlace.get(index + 1) ?? null]));
    return keys.map((key) => found.get(key) ?? null);
  }
}
