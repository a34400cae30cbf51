/** The same object with some of its methods put in others' place; its own private parts stay its own. */
export function over<Whole extends object>(inner: Whole, changed: Partial<Whole>): Whole {
  return new Proxy(inner, {
    get(target, key) {
      if (Object.hasOwn(changed, key)) return Reflect.get(changed, key);
      const value: unknown = Reflect.get(target, key, target);
      return typeof value === 'function' ? value.bind(target) : value;
    },
  });
}
