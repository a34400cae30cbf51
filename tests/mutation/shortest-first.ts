/** Small test files before large ones and properties last, so that most mutants fall within milliseconds. */
import { statSync } from 'node:fs';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

const weight = ({ moduleId }: TestSpecification) =>
  statSync(moduleId).size + (moduleId.includes('/property/') ? 1_000_000 : 0);

export class ShortestFirst extends BaseSequencer {
  override sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    return Promise.resolve(files.toSorted((a, b) => weight(a) - weight(b)));
  }
}
