import type { EntityManager } from 'typeorm';

/** A statement with its values, in the words of the driver (`pg.QueryConfig`). */
export interface Statement {
  text: string;
  values: unknown[];
  /** The server keeps the statement prepared under this name. A name has one text. */
  name?: string;
  /** `array`: each row comes as an array of values, which is made faster than an object. */
  rowMode?: 'array';
}

/**
 * Runs a statement under its name, or with rows as arrays: `manager.query` takes text and values
 * only. TypeORM passes what it is given on to the driver as it is.
 */
export function runStatement<T>(manager: EntityManager, statement: Statement): Promise<T> {
  return manager.query<T>(statement as unknown as string);
}
