import { DefaultNamingStrategy } from 'typeorm';

/** The column in which a property is stored. */
export const columnOf = (property: string): string =>
  property.replaceAll(/[A-Z]/g, (capital) => `_${capital.toLowerCase()}`);

/**
 * Columns are snake_case in the database and camelCase in the code; every other name is given
 * explicitly.
 */
export class SnakeNaming extends DefaultNamingStrategy {
  override columnName(propertyName: string, customName: string | undefined): string {
    return customName || columnOf(propertyName);
  }
}
