import { Type } from 'class-transformer';

/**
 * Cuts a list that is too long for its field before its entries are turned into objects. What is
 * left is still too long, so it is refused. A list of a million entries thus takes no longer than
 * one of `max`.
 *
 * @param type the class of its entries; left out for a list of plain values
 */
export function AtMost(max: number, type: () => new () => object = () => Object): PropertyDecorator {
  return Type((about) => {
    const list: unknown = about === undefined ? null : Reflect.get(about.object, about.property);
    if (Array.isArray(list) && list.length > max + 1) list.length = max + 1;
    return type();
  });
}
