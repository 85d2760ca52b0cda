from rest_framework.pagination import PageNumberPagination


class Pages(PageNumberPagination):
    """`?page=2&page_size=50`, at most 200 rows a page."""

    page_size_query_param = "page_size"
    max_page_size = 200
