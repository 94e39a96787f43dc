// Adds to pages that already work without it: scans from anywhere on the page, answers without a page
// load, news as they happen, search as you type, scans kept while the network is away.
import { answerForms } from "./answer.js";
import { listenForScans } from "./scan.js";
import { followLive } from "./live.js";
import { searchAsTyped } from "./search.js";
import { watchQueue } from "./offline.js";
import { reviewAsFilled } from "./form.js";

answerForms();
listenForScans();
followLive();
searchAsTyped();
watchQueue();
reviewAsFilled();
