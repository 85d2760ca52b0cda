"""`make bench`: how quick it is, as ratios in one run."""

from tests.bench import bench_pages, bench_plan, bench_sheets, bench_tracing, bench_weeks

if __name__ == "__main__":
    bench_plan.main()
    bench_tracing.main()
    bench_pages.main()
    bench_sheets.main()
    bench_weeks.main()
