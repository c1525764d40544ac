import { DefaultNamingStrategy } from 'typeorm';

/** The name of the column that stores a property. */
export const columnOf = (property: string): string =>
  property.replaceAll(/[A-Z]/g, (capital) => `_${capital.toLowerCase()}`);

/**
 * Names columns in snake_case for properties in camelCase. All other names are given explicitly.
 */
export class SnakeNaming extends DefaultNamingStrategy {
  override columnName(propertyName: string, customName: string | undefined): string {
    return customName || columnOf(propertyName);
  }
}
