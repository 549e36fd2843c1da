// Runs before the page is drawn, so that nothing jumps: pages show their script-made parts only
// when scripts run.
document.documentElement.classList.add("js");
