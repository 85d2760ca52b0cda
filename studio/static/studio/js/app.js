// Everything works without this file; it makes waiting and typing kinder.
import "./upload.js";
import "./live.js";
import "./fresh.js";

// After a refused form the summary is read first; its links lead to the fields.
document.querySelector("[data-error-summary]")?.focus();
