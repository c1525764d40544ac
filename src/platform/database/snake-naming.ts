import { DefaultNamingStrategy } from 'typeorm';

/** Columns are snake_case in the database and camelCase in the code; every other name is given explicitly. */
export class SnakeNaming extends DefaultNamingStrategy {
  override columnName(propertyName: string, customName: string | undefined): string {
    return customName || propertyName.replace(/[A-Z]/g, (capital) => `_${capital.toLowerCase()}`);
  }
}
