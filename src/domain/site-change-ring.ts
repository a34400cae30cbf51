import type { StageCode } from './ids.ts';
import type { Need } from './route.ts';

/**
 * A ring among the needs: each stage waits for the next, and the last for the first. Null where there is none.
 * Habits count too: two stages that each usually come first are a slip, if not a deadlock.
 */
export function ringIn(needs: readonly Pick<Need, 'stage' | 'needs'>[]): readonly StageCode[] | null {
  const before = new Map<StageCode, StageCode[]>();
  for (const { stage, needs: earlier } of needs) before.set(stage, [...(before.get(stage) ?? []), earlier]);
  const cleared = new Set<StageCode>();
  const path: StageCode[] = [];

  const follow = (stage: StageCode): readonly StageCode[] | null => {
    const met = path.indexOf(stage);
    if (met >= 0) return path.slice(met);
    if (cleared.has(stage)) return null;
    path.push(stage);
    for (const earlier of before.get(stage) ?? []) {
      const ring = follow(earlier);
      if (ring !== null) return ring;
    }
    path.pop();
    cleared.add(stage);
    return null;
  };

  for (const stage of before.keys()) {
    const ring = follow(stage);
    if (ring !== null) return ring;
  }
  return null;
}
