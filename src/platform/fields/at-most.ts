import { Type } from 'class-transformer';

/**
 * Cuts a list that is longer than its field takes, before its entries are turned into objects:
 * what is left is still too long and refused for it, and a list of a million entries takes no
 * longer than one of `max`.
 *
 * @param type the class of its entries; none for a list of plain values
 */
export function AtMost(max: number, type: () => new () => object = () => Object): PropertyDecorator {
  return Type((about) => {
    const list: unknown = about === undefined ? null : Reflect.get(about.object, about.property);
    if (Array.isArray(list) && list.length > max + 1) list.length = max + 1;
    return type();
  });
}
