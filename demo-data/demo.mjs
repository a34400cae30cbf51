// npm run demo: gets what is missing, builds, makes the workshop Aldermoor Bench and serves it.
import { must, needsBuild, needsNode, needsPackages } from '../.ci/prepare.mjs';

needsNode();
needsPackages();
needsBuild();
must('The demo', process.execPath, ['--import', 'tsx', 'demo-data/serve.ts', ...process.argv.slice(2)]);
