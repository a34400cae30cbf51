/** The items by key, keys and items in the order in which they are met. */
export function grouped<Item, Key>(items: readonly Item[], keyOf: (item: Item) => Key): Map<Key, Item[]> {
  const groups = new Map<Key, Item[]>();
  for (const item of items) {
    const held = groups.get(keyOf(item));
    if (held === undefined) groups.set(keyOf(item), [item]);
    else held.push(item);
  }
  return groups;
}
