import type { EntityManager } from 'typeorm';

/** A statement with its values, as the driver takes them (`pg.QueryConfig`). */
export interface Statement {
  text: string;
  values: unknown[];
  /** The server keeps the statement prepared under this name. One name always has the same text. */
  name?: string;
  /** `array`: each row comes as an array of values, which is faster than an object. */
  rowMode?: 'array';
}

/**
 * Runs a statement under its name, or with rows as arrays. The type of `manager.query` allows text
 * and values only, but TypeORM passes the object on to the driver unchanged.
 */
export function runStatement<T>(manager: EntityManager, statement: Statement): Promise<T> {
  return manager.query<T>(statement as unknown as string);
}
